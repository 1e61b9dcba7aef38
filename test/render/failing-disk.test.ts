import fs from 'node:fs'
import path from 'node:path'
import { afterEach, describe, expect, test, vi } from 'vitest'
import { renderPlan } from '../../src/render/render-plan.js'
import { SumwellError } from '../../src/terms/fault.js'
import { blend, group } from '../decide/setting/song.js'
import { noise } from '../signal/signals.js'
import { contentsOf, newFolder, planFor, renderFor, take, tasks } from './setting/takes.js'

const FRAMES = 35000 // two blocks

const setting = async () => {
  const folder = newFolder()
  const out = path.join(folder, 'out')
  const groups = (seed: string) => [
    group(
      'g',
      [
        take(folder, 'ref', [noise(seed, FRAMES, 0.3)]),
        take(folder, 'late', [noise(`${seed}2`, FRAMES, 0.3)], { measured: { lagSamples: 1.5 } }),
      ],
      { blends: [blend('mix', { ref: 50, late: 50 })] },
    ),
  ]
  await renderFor(groups('former'), { folder: out })
  const former = contentsOf(out)
  const kept = Object.keys(former).map(
    name => [path.join(out, name), fs.readFileSync(path.join(out, name))] as const,
  )
  const plan = await planFor(groups('new'), { folder: out })
  /** Puts the folder back to what it was before the new render. */
  const restore = (): void => {
    for (const name of fs.readdirSync(out)) fs.rmSync(path.join(out, name))
    for (const [file, bytes] of kept) fs.writeFileSync(file, bytes)
  }
  return { folder, out, plan, former, restore, recordings: contentsOf(folder) }
}

type Call =
  | 'openSync'
  | 'readSync'
  | 'writeSync'
  | 'fsyncSync'
  | 'renameSync'
  | 'mkdirSync'
  | 'statfsSync'
  | 'fstatSync'
  | 'statSync'
  | 'linkSync'

/** Makes the system refuse one call of a kind, counted from 0. Tells whether it came to that. */
const refuse = (call: Call, at: number, code: string) => {
  const original = fs[call] as (...words: unknown[]) => unknown
  let calls = 0
  let refused = false
  const spy = vi.spyOn(fs, call as 'openSync').mockImplementation(((...words: unknown[]) => {
    if (calls++ !== at) return original(...words)
    refused = true
    throw Object.assign(new Error(`${code}: injected`), { code })
  }) as typeof fs.openSync)
  return () => {
    spy.mockRestore()
    return refused
  }
}

afterEach(() => {
  vi.restoreAllMocks()
})

describe('a disk that refuses one call, whichever it is', () => {
  test.each([
    ['openSync', 'EACCES'],
    ['readSync', 'EIO'],
    ['writeSync', 'EIO'],
    ['writeSync', 'ENOSPC'],
    ['fsyncSync', 'EIO'],
    ['renameSync', 'EACCES'],
    ['mkdirSync', 'EROFS'],
    ['fstatSync', 'EIO'],
    ['statSync', 'EIO'],
    ['statfsSync', 'EIO'],
    ['linkSync', 'EPERM'],
  ] as const)(
    '%s with %s: a clear fault, every stem old or new and whole, nothing left behind',
    async (call, code) => {
      const { folder, out, plan, former, restore, recordings } = await setting()
      await renderPlan(plan, tasks)
      const renewed = contentsOf(out)
      let refusals = 0
      for (const at of [0, 1, 2, 3, 5, 8, 13, 21, 34, 55, 89]) {
        restore()
        const end = refuse(call, at, code)
        const error = await renderPlan(plan, tasks).then(
          () => null,
          (reason: unknown) => reason,
        )
        if (!end()) {
          expect(error).toBeNull()
          break
        }
        refusals++
        const after = contentsOf(out)
        expect(Object.keys(after).sort()).toEqual(Object.keys(former).sort())
        for (const [name, sum] of Object.entries(after)) expect([former[name], renewed[name]]).toContain(sum)
        if (error === null) continue // a call that nothing depends on
        expect(error).toBeInstanceOf(SumwellError)
        for (const fault of (error as SumwellError).faults) {
          expect([at, fault.code, fault.message]).not.toContain('INTERNAL')
          expect(fault.mend).not.toBeNull()
        }
      }
      expect(refusals).toBeGreaterThan(0)
      expect(contentsOf(folder)).toEqual(recordings)
    },
  )
})
