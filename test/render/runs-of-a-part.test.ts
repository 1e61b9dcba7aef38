import path from 'node:path'
import { beforeAll, describe, expect, test } from 'vitest'
import type { PartRun, PlannedSource, PlannedStem, StemPart } from '../../src/decide/plan.js'
import { type OpenPart, openPart } from '../../src/render/open-part.js'
import { probeWave } from '../../src/wave/probe.js'
import { createWave } from '../../src/wave/wave-writer.js'
import { newFolder } from './setting/takes.js'

/*
 * A part whose stretches are moved each for itself, frame by frame. The sound is a sine, of which every fractional move is known; the filter is
 * right to -99 dB.
 */
const RATE = 48000
const FRAMES = 9000
const HZ = 1000
const STEM_FRAMES = 10000

const sine = (frame: number): number =>
  frame < 0 || frame > FRAMES - 1 ? 0 : 0.5 * Math.cos((2 * Math.PI * HZ * frame) / RATE)

const file = path.join(newFolder(), 'sine.wav')
beforeAll(() => {
  const writer = createWave({
    ...{ path: file, sampleRateHz: RATE, channels: 2, frames: FRAMES, depth: '32f' },
    metadata: { description: 'sine', stampSamples: null, originator: 'Sumwell', codingHistory: [] },
  })
  const sound = Float64Array.from({ length: FRAMES }, (_, n) => sine(n))
  writer.write([sound, sound.map(v => -v)], FRAMES)
  writer.commit()
})

const window = { fadeInFrames: 0, fadeOutFrames: 0, fadeIn: 'amplitude', fadeOut: 'amplitude' } as const
const whole = { ...window, file, atFrame: 0, startFrame: 0, endFrame: FRAMES }
const run = (more: Partial<PartRun>): PartRun => ({
  ...{ ...window, startFrame: 0, endFrame: STEM_FRAMES, atSamples: 0, sign: 1, windows: [whole] },
  ...more,
})

const opened = (runs: readonly PartRun[]): OpenPart => {
  const part = {
    key: 'g/sine',
    atSamples: 0,
    recordedAtSamples: 0,
    follow: [{ atSeconds: 0, shiftSamples: 0 }],
    runs,
  } as unknown as StemPart
  const source = {
    ...{ key: 'g/sine', file, fileShown: 'sine.wav', facts: probeWave(file).facts },
    selection: { kind: 'all' },
  } as unknown as PlannedSource
  const stem = { sampleRateHz: RATE, frames: STEM_FRAMES, channels: 2 } as unknown as PlannedStem
  return openPart(part, source, stem)
}

/** All frames of the stem, read in blocks; 9 where nothing was written. */
const read = (part: OpenPart, block: number): readonly [Float64Array, Float64Array] => {
  const all = [new Float64Array(STEM_FRAMES), new Float64Array(STEM_FRAMES)] as const
  for (let start = 0; start < STEM_FRAMES; start += block) {
    const into = all.map(samples => samples.subarray(start, start + block).fill(9))
    const sounds = part.read(start, into)
    if (!sounds) for (const samples of into) samples.fill(samples.every(v => v === 9) ? 0 : 99)
  }
  return all
}

const smooth = (u: number): number => u * u * (3 - 2 * u)
/** The weight of what comes in, 6u⁵ − 15u⁴ + 10u³. */
const crossing = (u: number): number => u ** 3 * (u * (6 * u - 15) + 10)

describe('two stretches, one moved by whole frames, the other turned over and by a fraction', () => {
  const runs = [
    run({ startFrame: 100, endFrame: 4200, fadeOutFrames: 400, atSamples: 100 }),
    run({ startFrame: 3800, endFrame: 9040, fadeInFrames: 400, atSamples: 40.25, sign: -1 }),
  ]

  test('lie where they are moved to, and cross in between; both ends, which are loud, fade over 5 ms', () => {
    const part = opened(runs)
    const [left, right] = read(part, STEM_FRAMES)
    let compared = 0
    for (let frame = 0; frame < STEM_FRAMES; frame++) {
      expect(right[frame]! + left[frame]!).toBe(0)
      const came = frame - 3800 + 0.5
      const first = frame < 4200 ? sine(frame - 100) : 0
      const second = frame >= 3800 && frame < 9040 ? -sine(frame - 40.25) : 0
      const fadeIn = smooth(Math.min(1, Math.max(0, (frame - 100) / 240)))
      const u = Math.min(1, Math.max(0, came / 400))
      const expected = fadeIn * (1 - crossing(u)) * first + crossing(u) * second
      // From where the end is faded on, the filter draws on faded frames: looked at below.
      if (frame >= FRAMES - 240) continue
      expect(Math.abs(left[frame]! - expected), String(frame)).toBeLessThan(1e-5)
      compared++
    }
    expect(compared).toBe(8760)
    for (let frame = 8850; frame < 9040; frame++) {
      const fade = smooth(Math.min(1, Math.max(0, (FRAMES - 1 - (frame - 40.25)) / 240)))
      expect(Math.abs(left[frame]! + fade * sine(frame - 40.25)), String(frame)).toBeLessThan(1e-3)
    }
    for (let frame = 9110; frame < STEM_FRAMES; frame++) expect(left[frame]).toBe(0)
    expect(part.fades).toMatchObject({ startFrame: 0, endFrame: FRAMES, fadesIn: true, fadesOut: true })
    expect(part.channels).toBe(2)
    part.close()
  })

  test('give the same bits in whatever blocks they are read', () => {
    const part = opened(runs)
    const [all] = read(part, STEM_FRAMES)
    for (const block of [1000, 333, 4096]) expect(read(part, block)[0]).toEqual(all)
    part.close()
  })

  test('are dithered where they fade: between each other, and where the first, which is not filtered, begins', () => {
    const part = opened(runs)
    expect([...part.fadedFrames].sort((a, b) => a.start - b.start)).toEqual([
      { start: 100, end: 340 },
      { start: 3800, end: 4200 },
      { start: 3800, end: 4200 },
    ])
    part.close()
  })
})

test('a stretch that ends before the file does is cut there, without a fade of the file’s edge', () => {
  const part = opened([
    run({ startFrame: 2000, endFrame: 5000, atSamples: 0, fadeInFrames: 100, fadeOutFrames: 100 }),
  ])
  const [left] = read(part, 512)
  for (let frame = 0; frame < 2000; frame++) expect(left[frame]).toBe(0)
  for (let frame = 2100; frame < 4900; frame++) expect(left[frame]).toBeCloseTo(sine(frame), 6)
  for (let frame = 5000; frame < STEM_FRAMES; frame++) expect(left[frame]).toBe(0)
  expect(left[2050]! / sine(2050)).toBeCloseTo(crossing(50.5 / 100), 6)
  expect(left[4949]! / sine(4949)).toBeCloseTo(crossing(50.5 / 100), 6)
  part.close()
})

test('cross-fades of the files that a stretch is laid from are dithered too, where it is moved by whole frames', () => {
  const parts = [
    { ...whole, endFrame: 3100, fadeOutFrames: 200 },
    { ...whole, startFrame: 2900, fadeInFrames: 200 },
  ]
  const moved = opened([run({ startFrame: 7, atSamples: 7, windows: parts })])
  const [left] = read(moved, 1000)
  // One sound on both sides of the fade, whose weights sum to 1.
  for (let frame = 300; frame < 8700; frame++) expect(left[frame]).toBeCloseTo(sine(frame - 7), 6)
  expect(moved.fadedFrames).toContainEqual({ start: 2907, end: 3107 })
  moved.close()
})
