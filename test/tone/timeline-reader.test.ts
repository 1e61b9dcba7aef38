import fs from 'node:fs'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { PartRun } from '../../src/decide/plan.js'
import { TimelineReader } from '../../src/tone/spectra/timeline-reader.js'
import type { View, ViewSource } from '../../src/tone/spectra/view.js'
import { temporaryFolder, writeWave } from './setting/plans.js'
import * as sounds from './setting/sounds.js'

/* Where signals lie while their spectra are taken, frame by frame against the sounds as they were made (32-bit floats: 1e-7). */

const RATE = 8000
const BLOCK = 512
const FRAMES = 6000
const folder = temporaryFolder()
const file = `${folder}/pair.wav`
const left = sounds.whiteNoise(5000, 'left').map(Math.fround)
const right = sounds.whiteNoise(5000, 'right').map(Math.fround)
beforeAll(() => {
  writeWave(file, [left, right], RATE)
})
afterAll(() => {
  fs.rmSync(folder, { recursive: true, force: true })
})

const source = (placement: ViewSource['placement']): ViewSource => ({
  file,
  selection: { kind: 'all' },
  channels: 2,
  placement,
})

const viewOf = (sources: readonly ViewSource[], signals: readonly (readonly [number, number])[]): View => ({
  sampleRateHz: RATE,
  frames: FRAMES,
  sources,
  signals: signals.map(([one, channel]) => ({ source: one, channel, weight: 1 })),
  pairs: [],
  asRecorded: [],
})

/** Every signal from -2 blocks to 2 blocks behind the end, as it is read block by block: `[signal](frame)`. */
const readAll = (reader: TimelineReader, signals: number): ((signal: number, frame: number) => number)[] => {
  const first = -2 * BLOCK
  const blocks: Float64Array[][] = []
  for (let start = first; start < FRAMES + 2 * BLOCK; start += BLOCK) {
    const into = Array.from({ length: signals }, () => new Float64Array(BLOCK).fill(9))
    reader.read(start, into)
    blocks.push(into)
  }
  const at = (signal: number, frame: number): number =>
    blocks[Math.floor((frame - first) / BLOCK)]![signal]![(frame - first) % BLOCK]!
  return [at]
}

const worst = (
  at: (signal: number, frame: number) => number,
  signal: number,
  expected: (frame: number) => number,
  from = -2 * BLOCK,
  to = FRAMES + 2 * BLOCK - 100,
): number => {
  let most = 0
  for (let frame = from; frame < to; frame++)
    most = Math.max(most, Math.abs(at(signal, frame) - expected(frame)))
  return most
}

const onTimeline =
  (sound: Float64Array, at: number) =>
  (frame: number): number =>
    frame >= 0 && frame < FRAMES ? (sound[frame - at] ?? 0) : 0

describe('sources on the timeline', () => {
  test('lie by whole frames, are cut at both ends of it, and each channel is its own signal', () => {
    const view = viewOf(
      [
        source({ atSamples: -700.4, recordedAtSamples: 3, follow: null }),
        source({ atSamples: 1500.6, recordedAtSamples: 0, follow: null }),
      ],
      [
        [0, 0],
        [0, 1],
        [1, 1],
      ],
    )
    const reader = new TimelineReader(view, BLOCK)
    const [at] = readAll(reader, 3)
    expect(worst(at!, 0, onTimeline(left, -700))).toBe(0)
    expect(worst(at!, 1, onTimeline(right, -700))).toBe(0)
    expect(worst(at!, 2, onTimeline(right, 1501))).toBe(0)
    expect([reader.offset(0, 100), reader.offset(1, 100), reader.sign(0, 100)]).toEqual([-700, 1501, 1])
    reader.close()
  })

  test('that follow a change lie where the filter brings them: here by whole frames all along', () => {
    const follow = [
      { atSeconds: 0, shiftSamples: -120 },
      { atSeconds: 0.5, shiftSamples: -120 },
    ]
    const view = viewOf(
      [source({ atSamples: 0, recordedAtSamples: 400, follow })],
      [
        [0, 0],
        [0, 1],
      ],
    )
    const reader = new TimelineReader(view, BLOCK)
    const [at] = readAll(reader, 2)
    // At a whole shift every tap but one of a windowed sinc is 0.
    expect(worst(at!, 0, onTimeline(left, 280))).toBeLessThan(1e-6)
    expect(worst(at!, 1, onTimeline(right, 280))).toBeLessThan(1e-6)
    expect(reader.offset(0, 3000)).toBe(280)
    expect(reader.sign(0, 3000)).toBe(1)
    reader.close()
  })

  test('that follow steadily are offset by the shift at that frame', () => {
    const follow = [
      { atSeconds: 0, shiftSamples: 0 },
      { atSeconds: 0.5, shiftSamples: 40 },
    ]
    const reader = new TimelineReader(
      viewOf([source({ atSamples: 0, recordedAtSamples: 0, follow })], [[0, 0]]),
      BLOCK,
    )
    // Source frame 2000 lies at 2000 + 20.
    expect(reader.offset(0, 2020)).toBeCloseTo(20, 9)
    reader.close()
  })

  test('in pieces lie each by its own move and sign, and cross in between', () => {
    const window = { fadeInFrames: 0, fadeOutFrames: 0, fadeIn: 'amplitude', fadeOut: 'amplitude' } as const
    const whole = { ...window, file, atFrame: 0, startFrame: 0, endFrame: 5000 }
    const runs: readonly PartRun[] = [
      {
        ...window,
        startFrame: 10,
        endFrame: 2600,
        fadeOutFrames: 200,
        atSamples: 10,
        sign: 1,
        windows: [whole],
      },
      {
        ...window,
        startFrame: 2400,
        endFrame: 4950,
        fadeInFrames: 200,
        atSamples: -50,
        sign: -1,
        windows: [whole],
      },
    ]
    const follow = [{ atSeconds: 0, shiftSamples: 0 }]
    const reader = new TimelineReader(
      viewOf(
        [source({ atSamples: 77, recordedAtSamples: 0, follow, runs })],
        [
          [0, 0],
          [0, 1],
        ],
      ),
      BLOCK,
    )
    const [at] = readAll(reader, 2)
    for (const [signal, sound] of [left, right].entries()) {
      expect(worst(at!, signal, onTimeline(sound, 10), -2 * BLOCK, 2400)).toBe(0)
      expect(worst(at!, signal, frame => -onTimeline(sound, -50)(frame), 2600)).toBe(0)
    }
    // The later run counts from the middle of the fade on, and the first before all of them.
    expect([2499, 2500, -400].map(frame => reader.offset(0, frame))).toEqual([10, -50, 10])
    expect([2499, 2500, -400].map(frame => reader.sign(0, frame))).toEqual([1, -1, 1])
    reader.close()
  })
})
