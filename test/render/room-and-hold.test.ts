import fs from 'node:fs'
import path from 'node:path'
import { afterEach, describe, expect, test, vi } from 'vitest'
import type { Plan } from '../../src/decide/plan.js'
import { checkTargets } from '../../src/render/check-targets.js'
import { holdFolder } from '../../src/render/folder-hold.js'
import { requireRoom } from '../../src/render/require-room.js'
import { faultOf } from '../wave/faults-of.js'
import { newFolder } from './setting/takes.js'

/* What the disk and its folder have to give before anything is written. */

afterEach(() => {
  vi.restoreAllMocks()
})

describe('room on the disk', () => {
  const plan = {
    folder: '/stems',
    stems: [
      { frames: 1000, channels: 2, depth: 24 },
      { frames: 500, channels: 1, depth: '32f' },
    ],
  } as unknown as Plan
  // 8192 bytes of metadata each, and the sound: 1000 · 2 · 3 and 500 · 4.
  const needed = 2 * 8192 + 6000 + 2000
  const withFree = (bytes: number, blocks = 1): void => {
    vi.spyOn(fs, 'statfsSync').mockReturnValue({ blocks, bavail: bytes / 4, bsize: 4 } as never)
  }

  test('is enough to the byte, and what is missing is told', () => {
    withFree(needed)
    expect(() => {
      requireRoom(plan)
    }).not.toThrow()
    vi.restoreAllMocks()
    withFree(needed - 4)
    const fault = faultOf(() => {
      requireRoom(plan)
    })
    expect(fault).toMatchObject({
      code: 'WRITE_DISK_FULL',
      message: 'the file needs 0.0 MiB, the disk has 0.0 MiB left',
    })
  })

  test('is not asked of a disk that does not tell', () => {
    withFree(0, 0)
    expect(() => {
      requireRoom(plan)
    }).not.toThrow()
  })
})

test('what stands in the way of a stem is told: a folder, or a device', () => {
  const folder = newFolder()
  const told = (file: string) =>
    faultOf(() => {
      checkTargets({ sources: [], stems: [{ file }] } as unknown as Plan)
    })
  expect(told(folder)).toMatchObject({
    ...{ code: 'WRITE_FAILED', file: folder, message: 'a folder of this name is in the way' },
    mend: 'choose another `deliver.name`, or move it away',
  })
  expect(told('/dev/null').message).toBe('a device or pipe of this name is in the way')
})

describe('a folder is held', () => {
  test('on a disk without second names too, and by one run alone', () => {
    const folder = newFolder()
    vi.spyOn(fs, 'linkSync').mockImplementation(() => {
      throw Object.assign(new Error('no links here'), { code: 'EPERM' })
    })
    const hold = holdFolder(folder)
    const written = JSON.parse(fs.readFileSync(path.join(folder, '.sumwell-busy'), 'utf8')) as object
    expect(written).toMatchObject({ pid: process.pid })
    expect(faultOf(() => holdFolder(folder)).code).toBe('WRITE_BUSY')
    expect(fs.readdirSync(folder).sort()).toEqual(['.sumwell-busy', '.sumwell-workshop'])
    hold.release()
    expect(fs.readdirSync(folder)).toEqual([])
  })

  test('not where the system refuses the file for another reason', () => {
    const folder = newFolder()
    const write = fs.writeFileSync
    vi.spyOn(fs, 'writeFileSync').mockImplementation((file, ...rest) => {
      if (String(file).includes('.sumwell-busy')) throw Object.assign(new Error('no'), { code: 'EROFS' })
      write(file, ...(rest as [string]))
    })
    expect(faultOf(() => holdFolder(folder)).code).toBe('WRITE_NOT_ALLOWED')
    vi.restoreAllMocks()
    expect(fs.readdirSync(folder)).toEqual([])
  })

  test.each([
    ['of a process that is gone', { pid: 2 ** 22 + 1, host: 'here', began: null }, 'free'],
    [
      'of this process under another beginning, as after a restart',
      { pid: process.pid, host: 'here', began: '1' },
      'free',
    ],
    ['of this process', { pid: process.pid, host: 'here', began: null }, 'busy'],
    ['on another machine', { pid: 2 ** 22 + 1, host: 'elsewhere', began: null }, 'busy'],
    ['that says nothing', {}, 'free'],
  ] as const)('after one %s: %s', async (_, holder, expected) => {
    const os = await import('node:os')
    const folder = newFolder()
    const own = 'host' in holder && holder.host === 'here' ? { ...holder, host: os.hostname() } : holder
    fs.writeFileSync(path.join(folder, '.sumwell-busy'), JSON.stringify(own))
    if (expected === 'busy') {
      const { code, message } = faultOf(() => holdFolder(folder))
      expect(code).toBe('WRITE_BUSY')
      const { pid, host } = own as { readonly pid: number; readonly host: string }
      expect(message).toContain(`(process ${pid} on ${host})`)
      expect(fs.readdirSync(folder)).toEqual(['.sumwell-busy'])
    } else {
      const hold = holdFolder(folder)
      expect(fs.readdirSync(folder).sort()).toEqual(['.sumwell-busy', '.sumwell-workshop'])
      hold.release()
    }
  })

  test('and what killed runs left of making or moving a hold is removed; that of others is not', async () => {
    const { hostname } = await import('node:os')
    const folder = newFolder()
    const gone = 2 ** 22 + 1
    const left = (name: string, text: string): void => {
      fs.writeFileSync(path.join(folder, name), text)
    }
    const holder = (pid: number, host = hostname()) => JSON.stringify({ pid, host, began: null })
    left(`.sumwell-busy-${gone}`, holder(gone))
    left(`.sumwell-busy-${gone + 1}`, '{"pid":') // cut off
    left(`.sumwell-busy-${gone}-former`, holder(process.ppid))
    const kept = [`.sumwell-busy-${process.ppid}`, `.sumwell-busy-${process.ppid}-former`, '.sumwell-busy-x']
    left(kept[0]!, '')
    left(kept[1]!, holder(gone))
    left(kept[2]!, holder(gone))
    left(`.sumwell-busy-${gone + 2}`, holder(gone, 'elsewhere'))
    const hold = holdFolder(folder)
    expect(fs.readdirSync(folder).sort()).toEqual(
      ['.sumwell-busy', '.sumwell-workshop', ...kept, `.sumwell-busy-${gone + 2}`].sort(),
    )
    hold.release()
  })

  test('when a former hold vanishes while it is set aside', () => {
    const folder = newFolder()
    fs.writeFileSync(path.join(folder, '.sumwell-busy'), '{}')
    vi.spyOn(fs, 'renameSync').mockImplementationOnce(from => {
      fs.rmSync(from)
      throw Object.assign(new Error('gone'), { code: 'ENOENT' })
    })
    const hold = holdFolder(folder)
    expect(fs.readdirSync(folder).sort()).toEqual(['.sumwell-busy', '.sumwell-workshop'])
    hold.release()
  })

  test('and is another one when it was exchanged meanwhile', () => {
    const folder = newFolder()
    const hold = holdFolder(folder)
    hold.requireSame()
    fs.mkdirSync(`${hold.workshop}-other`)
    fs.rmSync(hold.workshop, { recursive: true })
    fs.renameSync(`${hold.workshop}-other`, hold.workshop)
    const fault = faultOf(() => {
      hold.requireSame()
    })
    expect(fault).toMatchObject({ code: 'WRITE_FAILED', file: folder })
    expect(fault.message).toContain('the folder of delivery is another one than at the beginning of the run')
    expect(fault.mend).toBe('see who moved or linked it meanwhile, then run again')
    hold.release()
  })
})
