import { execFileSync, spawnSync } from 'node:child_process'
import fs from 'node:fs'
import os from 'node:os'
import path from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { Plan } from '../../src/decide/plan.js'
import { holdFolder } from '../../src/render/folder-hold.js'
import { renderPlan } from '../../src/render/render-plan.js'
import { renderTasks } from '../../src/render/tasks.js'
import { SumwellError } from '../../src/terms/fault.js'
import { inProcess, type TaskContext } from '../../src/terms/task.js'
import { blend, group } from '../decide/setting/song.js'
import { noise } from '../signal/signals.js'
import { contentsOf, newFolder, planFor, renderFor, take, tasks } from './setting/takes.js'

const FRAMES = 100000

const system = (program: string, ...words: string[]): void => {
  execFileSync(program, words, { stdio: 'pipe' })
}

const twoTakes = (folder: string) => [
  group(
    'g',
    [
      take(folder, 'ref', [noise('a', FRAMES, 0.3)]),
      take(folder, 'late', [noise('b', FRAMES, 0.3)], { measured: { lagSamples: 3.31 } }),
    ],
    { blends: [blend('mix', { ref: 50, late: 50 })] },
  ),
]

/** Codes of the faults that a failing promise carries; fails where it does not fail. */
const codesOf = async (promise: Promise<unknown>): Promise<readonly string[]> => {
  const error = await promise.then(
    () => null,
    (reason: unknown) => reason,
  )
  expect(error).toBeInstanceOf(SumwellError)
  const { faults } = error as SumwellError
  for (const { mend } of faults) expect(mend).not.toBeNull()
  return faults.map(({ code }) => code)
}

/** A folder with delivered stems of an earlier take, and a plan for new ones. */
const setting = async () => {
  const sources = newFolder()
  const out = path.join(sources, 'out')
  const former = [
    group('g', [take(sources, 'former', [noise('f', 1000, 0.3)])], {
      blends: [blend('mix', { former: 100 })],
    }),
  ]
  await renderFor(former, { folder: out })
  const plan = await planFor(twoTakes(sources), { folder: out })
  return { sources, out, plan, before: contentsOf(out), recordings: contentsOf(sources) }
}

describe('a run that fails', () => {
  test('by a recording that cannot be read leaves the former stems and nothing else', async () => {
    const { sources, out, plan, before } = await setting()
    fs.rmSync(path.join(sources, 'late.wav'))
    expect(await codesOf(renderPlan(plan, tasks))).toEqual(['WAVE_UNREADABLE'])
    expect(contentsOf(out)).toEqual(before)
  })

  test('by a recording that is not the measured one', async () => {
    const { sources, out, plan, before } = await setting()
    take(sources, 'late', [noise('b', FRAMES + 1, 0.3)])
    expect(await codesOf(renderPlan(plan, tasks))).toEqual(['WAVE_CHANGED'])
    expect(contentsOf(out)).toEqual(before)
  })

  test('by a recording that is written to while it is read', async () => {
    const { sources, out, plan, before } = await setting()
    let blocks = 0
    const context: TaskContext = {
      aborted: false,
      advance: () => {
        if (blocks++ === 1) fs.utimesSync(path.join(sources, 'ref.wav'), 1, 1)
      },
    }
    expect(await codesOf(renderPlan(plan, inProcess(renderTasks, context)))).toContain('WAVE_CHANGED')
    expect(contentsOf(out)).toEqual(before)
  })

  test('by NaN in a float recording', async () => {
    const { sources, out, plan, before } = await setting()
    const floats = [noise('n', FRAMES, 0.3)]
    const told = take(sources, 'nan', floats, { depth: '32f' })
    const bytes = fs.readFileSync(path.join(sources, 'nan.wav'))
    bytes.writeFloatLE(Number.NaN, bytes.length - 4 * 500)
    fs.writeFileSync(path.join(sources, 'nan.wav'), bytes)
    const bad = await planFor([group('g', [told])], { folder: out })
    expect(await codesOf(renderPlan(bad, tasks))).toEqual(['WAVE_NOT_A_NUMBER'])
    expect(contentsOf(out)).toEqual(before)
    expect(plan.stems).toHaveLength(3)
  })

  test('by being interrupted at any block', async () => {
    const { out, plan, before, sources, recordings } = await setting()
    let stopped = 0
    for (let stopAt = 0; stopAt < 12; stopAt++) {
      let asked = 0
      const context: TaskContext = {
        get aborted() {
          return asked++ === stopAt
        },
        advance: () => undefined,
      }
      expect(await codesOf(renderPlan(plan, inProcess(renderTasks, context)))).toEqual(['INTERRUPTED'])
      expect(contentsOf(out)).toEqual(before)
      stopped++
    }
    expect(stopped).toBe(12)
    await renderPlan(plan, tasks)
    expect(Object.keys(contentsOf(out))).toHaveLength(5) // the three new ones, the former source, and the note that it was ours
    expect(contentsOf(sources)).toEqual(recordings)
  })
})

describe('targets', () => {
  test('a target that is a source, by name or by link, is refused before anything is written', async () => {
    const { sources, plan, recordings } = await setting()
    const renamed = (file: string): Plan => ({
      ...plan,
      stems: plan.stems.map((stem, i) => (i === 0 ? { ...stem, file } : stem)),
    })
    fs.symlinkSync(path.join(sources, 'ref.wav'), path.join(sources, 'out', 'link.wav'))
    fs.linkSync(path.join(sources, 'late.wav'), path.join(sources, 'out', 'hard.wav'))
    for (const file of [
      path.join(sources, 'ref.wav'),
      path.join(sources, 'out', 'link.wav'),
      path.join(sources, 'out', 'hard.wav'),
    ]) {
      expect(await codesOf(renderPlan(renamed(file), tasks))).toEqual(['WRITE_OVER_SOURCE'])
    }
    expect(contentsOf(sources)).toEqual(recordings)
  })

  test('a folder under the name of a stem, all of them told at once', async () => {
    const { out, plan } = await setting()
    fs.mkdirSync(path.join(out, plan.stems[1]!.fileName))
    fs.mkdirSync(path.join(out, plan.stems[2]!.fileName))
    const before = contentsOf(out)
    expect(await codesOf(renderPlan(plan, tasks))).toEqual(['WRITE_FAILED', 'WRITE_FAILED'])
    expect(contentsOf(out)).toEqual(before)
  })

  test('a file where the folder should be', async () => {
    const { sources, plan } = await setting()
    const folder = path.join(sources, 'ref.wav')
    expect(await codesOf(renderPlan({ ...plan, folder }, tasks))).toEqual(['WRITE_FAILED'])
  })

  test('rights of a former stem are kept, a missing folder is made', async () => {
    const { out, plan } = await setting()
    fs.chmodSync(plan.stems[0]!.file, 0o640)
    await renderPlan(plan, tasks)
    expect(fs.statSync(plan.stems[0]!.file).mode & 0o777).toBe(0o640)
    const deep = path.join(out, 'a', 'b')
    const moved = {
      ...plan,
      folder: deep,
      stems: plan.stems.map(stem => ({ ...stem, file: path.join(deep, stem.fileName) })),
    }
    await renderPlan(moved, tasks)
    expect(Object.keys(contentsOf(deep)).sort()).toEqual(plan.stems.map(stem => stem.fileName).sort())
  })
})

describe('two runs in one folder', () => {
  test('the second is told, and harms nothing', async () => {
    const { out, plan, before } = await setting()
    const hold = holdFolder(out)
    try {
      expect(await codesOf(renderPlan(plan, tasks))).toEqual(['WRITE_BUSY'])
    } finally {
      hold.release()
    }
    hold.release()
    expect(contentsOf(out)).toEqual(before)
  })

  test('a caller that holds the folder goes on holding it after the stems', async () => {
    const { out, plan } = await setting()
    const hold = holdFolder(out)
    await renderPlan(plan, tasks, hold)
    expect(await codesOf(renderPlan(plan, tasks))).toEqual(['WRITE_BUSY'])
    hold.release()
    await renderPlan(plan, tasks)
  })

  test('the hold of a process that is gone is taken over, with what it left', async () => {
    const { out, plan } = await setting()
    const gone = spawnSync(process.execPath, ['-e', '']).pid
    fs.writeFileSync(
      path.join(out, '.sumwell-busy'),
      JSON.stringify({ pid: gone, host: os.hostname(), began: '1' }),
    )
    fs.mkdirSync(path.join(out, '.sumwell-workshop'))
    fs.writeFileSync(path.join(out, '.sumwell-workshop', 'half.wav'), 'half')
    await renderPlan(plan, tasks)
    expect(Object.keys(contentsOf(out)).filter(name => name.startsWith('.'))).toEqual([
      '.sumwell-former-sums',
    ])
  })

  test('so is one whose number went to another process since, and one without a readable text', async () => {
    const { out, plan } = await setting()
    const hold = path.join(out, '.sumwell-busy')
    fs.writeFileSync(hold, JSON.stringify({ pid: process.pid, host: os.hostname(), began: 'long ago' }))
    await renderPlan(plan, tasks)
    fs.writeFileSync(hold, '')
    await renderPlan(plan, tasks)
    expect(fs.existsSync(hold)).toBe(false)
  })

  test('another machine may be at work: that is not taken over', async () => {
    const { out, plan } = await setting()
    fs.writeFileSync(
      path.join(out, '.sumwell-busy'),
      JSON.stringify({ pid: 1, host: 'another-machine', began: null }),
    )
    expect(await codesOf(renderPlan(plan, tasks))).toEqual(['WRITE_BUSY'])
  })
})

// A real disk of 2 MiB (a tmpfs) needs the superuser. CI runs as one: there a disk that cannot be made is a failure.
describe('a full disk', () => {
  const superuser = process.platform === 'linux' && process.getuid?.() === 0
  const mustRun = process.env['CI'] !== undefined && superuser
  const disk = path.join(os.tmpdir(), `sumwell-small-disk-${process.pid}`)
  let mounted = false

  beforeAll(() => {
    try {
      fs.mkdirSync(disk, { recursive: true })
      system('mount', '-t', 'tmpfs', '-o', 'size=2m', 'tmpfs', disk)
      mounted = true
    } catch (error) {
      if (mustRun) throw error
      console.warn('NOT CHECKED: a full disk. Making a small disk needs the superuser on Linux.')
    }
  })
  afterAll(() => {
    if (mounted) system('umount', disk)
    fs.rmSync(disk, { recursive: true, force: true })
  })

  const onDisk = (plan: Plan): Plan => ({
    ...plan,
    folder: disk,
    stems: plan.stems.map(stem => ({ ...stem, file: path.join(disk, stem.fileName) })),
  })

  test('too small from the start, and filled up by others while the stems are made: the former stems stay', async context => {
    if (!mounted) return context.skip()
    const { plan, out } = await setting()
    const former = plan.stems[0]!.fileName
    fs.copyFileSync(path.join(out, former), path.join(disk, former))
    const before = contentsOf(disk)
    const ballast = path.join(disk, 'ballast')

    // 3 stems of 300 kB each need 0.9 of 2 MiB; with 1.5 MiB gone they do not fit
    fs.writeFileSync(ballast, new Uint8Array(1.5 * 2 ** 20))
    expect(await codesOf(renderPlan(onDisk(plan), tasks))).toEqual(['WRITE_DISK_FULL'])
    fs.rmSync(ballast)
    expect(contentsOf(disk)).toEqual(before)

    let failed = 0
    for (let fillAt = 0; fillAt < 12; fillAt += 3) {
      let blocks = 0
      const filling: TaskContext = {
        aborted: false,
        advance: () => {
          if (blocks++ !== fillAt) return
          try {
            fs.writeFileSync(ballast, new Uint8Array(2 * 2 ** 20))
          } catch {
            // full: as wanted
          }
        },
      }
      expect(await codesOf(renderPlan(onDisk(plan), inProcess(renderTasks, filling)))).toEqual([
        'WRITE_DISK_FULL',
      ])
      fs.rmSync(ballast, { force: true })
      expect(contentsOf(disk)).toEqual(before)
      failed++
    }
    expect(failed).toBe(4)
    await renderPlan(onDisk(plan), tasks)
    expect(Object.keys(contentsOf(disk))).toHaveLength(3)
  })
})
