import fs from 'node:fs'
import os from 'node:os'
import { afterEach, describe, expect, test, vi } from 'vitest'
import { openAtomic, writeWhole } from '../../src/wave/atomic-file.js'
import { faultOf } from './faults-of.js'
import { temporaryFolder } from './wave-bytes.js'

const folder = temporaryFolder()
const parts = (): string[] => fs.readdirSync(folder.path('.')).filter(name => name.endsWith('.part'))
const text = (name: string): string => fs.readFileSync(folder.path(name), 'utf8')

afterEach(() => {
  vi.restoreAllMocks()
})

test('the former file stays until the commit, then the new one stands whole under the name', () => {
  const path = folder.put('stem.wav', [111, 108, 100])
  const file = openAtomic(path)
  file.write(Uint8Array.of(110, 101))
  file.write(Uint8Array.of(119))
  expect(text('stem.wav')).toBe('old')
  expect(parts()).toHaveLength(1)
  expect(file.bytes).toBe(3)
  file.commit()
  expect(text('stem.wav')).toBe('new')
  expect(parts()).toEqual([])
})

test('writeWhole: text as UTF-8, bytes, nothing, folders made on the way', () => {
  writeWhole(folder.path('a/b/report.json'), 'Fühlung')
  writeWhole(folder.path('bytes'), Uint8Array.of(0, 255))
  writeWhole(folder.path('nothing'), '')
  expect(text('a/b/report.json')).toBe('Fühlung')
  expect([...fs.readFileSync(folder.path('bytes'))]).toEqual([0, 255])
  expect(fs.statSync(folder.path('nothing')).size).toBe(0)
})

test('a name as long as the disk allows', () => {
  const name = `${'n'.repeat(251)}.wav`
  writeWhole(folder.path(name), 'long')
  expect(text(name)).toBe('long')
})

test('the rights of the former file are kept, a new one gets the usual ones', () => {
  const path = folder.put('private', [1])
  fs.chmodSync(path, 0o640)
  writeWhole(path, 'x')
  expect(fs.statSync(path).mode & 0o777).toBe(0o640)
  writeWhole(folder.path('usual'), 'x')
  expect(fs.statSync(folder.path('usual')).mode).toBe(fs.statSync(folder.put('ordinary', [1])).mode)
})

test('a link under the name is replaced, what it points to is not touched', () => {
  const precious = folder.put('precious.wav', [112])
  fs.symlinkSync(precious, folder.path('link.wav'))
  fs.symlinkSync(folder.path('gone'), folder.path('dangling.wav'))
  writeWhole(folder.path('link.wav'), 'new')
  writeWhole(folder.path('dangling.wav'), 'new')
  expect(text('precious.wav')).toBe('p')
  expect(text('link.wav')).toBe('new')
  expect(fs.lstatSync(folder.path('link.wav')).isSymbolicLink()).toBe(false)
  expect(fs.existsSync(folder.path('gone'))).toBe(false)
})

test('short counts of the system are taken up until all is written', () => {
  const real = fs.writeSync
  let calls = 0
  vi.spyOn(fs, 'writeSync').mockImplementation(((handle: number, bytes: Uint8Array, at: number) => {
    calls++
    return real(handle, bytes, at, Math.min(7, bytes.length - at))
  }) as typeof fs.writeSync)
  const bytes = Uint8Array.from({ length: 1000 }, (_, index) => index % 256)
  writeWhole(folder.path('short counts'), bytes)
  expect(calls).toBe(143)
  expect(new Uint8Array(fs.readFileSync(folder.path('short counts')))).toEqual(bytes)
})

const systemError = (code: string): Error => Object.assign(new Error(code), { code })

describe('whatever the system refuses: the former file stays, no temporary file is left, the fault fits', () => {
  const faults = [
    ['ENOSPC', 'WRITE_DISK_FULL', /the disk is full/],
    ['EDQUOT', 'WRITE_DISK_FULL', /quota/],
    ['EACCES', 'WRITE_NOT_ALLOWED', /no right to write there/],
    ['EPERM', 'WRITE_NOT_ALLOWED', /no right to write there/],
    ['EROFS', 'WRITE_NOT_ALLOWED', /read-only/],
    ['EIO', 'WRITE_FAILED', /the disk reports an error/],
    ['EFBIG', 'WRITE_FAILED', /does not take a file of this size/],
    ['ENOENT', 'WRITE_FAILED', /the folder is gone/],
    ['EWHATEVER', 'WRITE_FAILED', /EWHATEVER/],
  ] as const
  const places = [
    'openSync',
    'writeSync',
    'fsyncSync',
    'fstatSync',
    'closeSync',
    'renameSync',
    'statfsSync',
  ] as const
  const cases = faults.flatMap(([code, fault, message]) =>
    places.map(place => [code, place, fault, message] as const),
  )

  test.each(cases)('%s from %s', (code, place, expected, message) => {
    const path = folder.put('kept.wav', [111])
    const real = fs[place] as (...args: unknown[]) => unknown
    let refused = 0
    vi.spyOn(fs, place).mockImplementation((...args: unknown[]) => {
      if (refused++ === 0) {
        // A handle is gone after a close that fails, too.
        if (place === 'closeSync') real(...args)
        throw systemError(code)
      }
      return real(...args)
    })
    const fault = faultOf(() => {
      writeWhole(path, 'new')
    })
    vi.restoreAllMocks()
    expect(refused).toBeGreaterThan(0)
    expect(fault.code).toBe(expected)
    expect(fault.message).toMatch(message)
    expect(fault.file).toBe(path)
    expect(fault.mend).not.toBeNull()
    expect(text('kept.wav')).toBe('o')
    expect(parts()).toEqual([])
  })

  test('bytes that the disk lost are noticed before the rename', () => {
    const path = folder.put('kept.wav', [111])
    const real = fs.fsyncSync
    vi.spyOn(fs, 'fsyncSync').mockImplementation(handle => {
      fs.ftruncateSync(handle, 1)
      real(handle)
    })
    const fault = faultOf(() => {
      writeWhole(path, 'new')
    })
    expect(fault).toMatchObject({ code: 'WRITE_FAILED', message: '1 of 3 bytes arrived on the disk' })
    expect(text('kept.wav')).toBe('o')
    expect(parts()).toEqual([])
  })

  test('a folder that cannot be flushed is no fault: the file is there', () => {
    const real = fs.fsyncSync
    let calls = 0
    vi.spyOn(fs, 'fsyncSync').mockImplementation(handle => {
      if (++calls === 2) throw systemError('EINVAL')
      real(handle)
    })
    writeWhole(folder.path('flushed'), 'x')
    expect(calls).toBe(2)
    expect(text('flushed')).toBe('x')
  })
})

test('a folder, a pipe or a file in the way', () => {
  fs.mkdirSync(folder.path('a folder'))
  folder.put('a file', [1])
  const inTheWay = faultOf(() => {
    writeWhole(folder.path('a folder'), 'x')
  })
  expect(inTheWay).toMatchObject({ code: 'WRITE_FAILED', message: 'a folder of this name is in the way' })
  for (const name of ['a file/x.wav', 'a file/sub/x.wav']) {
    const fault = faultOf(() => {
      writeWhole(folder.path(name), 'x')
    })
    expect(fault.code).toBe('WRITE_FAILED')
    expect(fault.message).toMatch(/a folder in the path is a file/)
  }
  const device = faultOf(() => {
    writeWhole('/dev/null', 'x')
  })
  expect(device.message).toBe('a device or pipe of this name is in the way')
  const long = faultOf(() => {
    writeWhole(folder.path('n'.repeat(300)), 'x')
  })
  expect(long.message).toMatch(/name is too long/)
})

test('more than the disk has left is refused before anything is written', () => {
  const fault = faultOf(() => openAtomic(folder.path('huge.wav'), { expectedBytes: 2 ** 60 }))
  expect(fault.code).toBe('WRITE_DISK_FULL')
  expect(fault.message).toMatch(/^the file needs 1099511627776\.0 MiB, the disk has \d+\.\d MiB left$/)
  expect(parts()).toEqual([])
})

test('writing after the end is a bug of ours', () => {
  const file = openAtomic(folder.path('ended'))
  file.commit()
  const fault = faultOf(() => {
    file.write(Uint8Array.of(1))
  })
  expect(fault.code).toBe('INTERNAL')
  expect(fs.existsSync(folder.path('ended'))).toBe(true)
})

test('without the right to write in a folder', t => {
  if (process.platform === 'win32' || os.userInfo().uid === 0) {
    // The superuser may write everywhere: the same refusal is provoked above and on a read-only disk.
    t.skip()
  }
  fs.mkdirSync(folder.path('closed'), { mode: 0o555 })
  const fault = faultOf(() => {
    writeWhole(folder.path('closed/x.wav'), 'x')
  })
  expect(fault.code).toBe('WRITE_NOT_ALLOWED')
})
