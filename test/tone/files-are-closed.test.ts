import fs from 'node:fs'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { TaskContext } from '../../src/terms/task.js'
import { quietContext } from '../../src/terms/task.js'
import { thirdOctavesOf } from '../../src/tone/check/third-octaves-of.js'
import type { NeighbourInput } from '../../src/tone/neighbours/neighbour-input.js'
import { neighbourSums } from '../../src/tone/neighbours/neighbour-sums.js'
import { groupSpectra } from '../../src/tone/spectra/group-spectra.js'
import type { View } from '../../src/tone/spectra/view.js'
import { openFiles } from '../wave/open-files.js'
import { temporaryFolder, writeWave } from './setting/plans.js'
import * as sounds from './setting/sounds.js'

/* Whatever reads recordings lets go of them: when it is done, when it is interrupted, and when one of them cannot be opened. */

const RATE = 8000
const folder = temporaryFolder()
const file = `${folder}/sound.wav`
const missing = `${folder}/missing.wav`
beforeAll(() => {
  writeWave(file, [sounds.whiteNoise(2 * RATE, 'sound')], RATE)
})
afterAll(() => {
  fs.rmSync(folder, { recursive: true, force: true })
})

const all = { kind: 'all' } as const
const aborted: TaskContext = { aborted: true, advance: () => undefined }

const viewOf = (files: readonly string[]): View => ({
  sampleRateHz: RATE,
  frames: 2 * RATE,
  sources: files.map(one => ({
    file: one,
    selection: all,
    channels: 1,
    placement: { atSamples: 0, recordedAtSamples: 0, follow: null },
  })),
  signals: files.map((_, source) => ({ source, channel: 0, weight: 1 })),
  pairs: [],
  asRecorded: [],
})

const voicesOf = (files: readonly string[]): NeighbourInput => ({
  sampleRateHz: RATE,
  frames: 2 * RATE,
  channels: 1,
  voices: files.map(one => ({
    recorded: [{ file, selection: all, channels: 1, atFrame: 0, gain: 1 }],
    delivered: [{ file: one, channels: 1 }],
  })),
  firstBlock: 0,
  blocks: 1,
})

const work: Readonly<Record<string, (files: readonly string[], context: TaskContext) => Promise<unknown>>> = {
  'spectra of a group': async (files, context) => groupSpectra({ view: viewOf(files), segment: 0 }, context),
  'third octaves of a stem': async (files, context) => thirdOctavesOf({ file: files.at(-1)! }, context),
  'what groups share': async (files, context) => neighbourSums(voicesOf(files), context),
}

describe.each(Object.entries(work))('%s', (_, run) => {
  test('leaves no file open', async () => {
    if (fs.existsSync('/proc/self/fd')) {
      const held = fs.openSync(file, 'r')
      expect(openFiles(folder)).toHaveLength(1)
      fs.closeSync(held)
    }
    await run([file, file], quietContext)
    expect(openFiles(folder)).toEqual([])
    await expect(run([file, file], aborted)).rejects.toMatchObject({ faults: [{ code: 'INTERRUPTED' }] })
    expect(openFiles(folder)).toEqual([])
    await expect(run([file, missing], quietContext)).rejects.toMatchObject({ faults: [{ file: missing }] })
    expect(openFiles(folder)).toEqual([])
  })
})

test('third octaves tell how much of a file is read', async () => {
  let seconds = 0
  const context = { aborted: false, advance: (more: number) => void (seconds += more) }
  const { sampleRateHz, frames, channels } = await thirdOctavesOf({ file }, context)
  expect([sampleRateHz, frames, channels]).toEqual([RATE, 2 * RATE, 1])
  expect(seconds).toBe(2)
})
