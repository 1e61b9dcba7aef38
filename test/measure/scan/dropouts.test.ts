import { describe, expect, it } from 'vitest'
import { DROPOUT_PAST, type Dropout, DropoutDetector } from '../../../src/measure/scan/dropouts.js'
import { noise, sine } from '../../signal/signals.js'
import { onGrid } from './recordings.js'

const found = (
  samples: Float64Array,
  block = 8192,
  stepSize = 0,
): { count: number; first: readonly Dropout[] } => {
  const detector = new DropoutDetector(0, stepSize)
  for (let start = 0; start < samples.length; start += block) {
    const frames = Math.min(block, samples.length - start)
    const work = Float64Array.from(
      { length: DROPOUT_PAST + block },
      (_, i) => samples[start - DROPOUT_PAST + i] ?? 0,
    )
    detector.push(work, frames, start)
  }
  return { count: detector.count, first: detector.first }
}

/** Low-passed noise: moves like music, never repeats. */
const music = (name: string, frames: number): Float64Array => {
  let low = 0
  return onGrid(
    noise(name, frames, 0.8).map(x => {
      low += 0.1 * (x - low)
      return low
    }),
    24,
  )
}

describe('DropoutDetector', () => {
  it('finds zeros inside sound, wherever blocks begin', () => {
    for (const block of [6400, 8192, 30_000]) {
      const samples = music('zeros', 60_000)
      const places = [
        [5000, 64],
        [8180, 30],
        [20_001, 1024],
        [40_000, 4096],
      ] as const
      for (const [start, frames] of places) {
        samples.fill(0, start, start + frames)
        samples[start - 1] = 0.01
        samples[start + frames] = -0.01
      }
      expect(found(samples, block).first.map(d => [d.startFrame, d.frames, d.kind])).toEqual(
        places.map(([start, frames]) => [start, frames, 'zeros']),
      )
    }
  })

  it('leaves rests, fades, short crossings and the silence around a take alone', () => {
    const samples = music('rests', 60_000)
    samples.fill(0, 0, 3000)
    samples.fill(0, 20_000, 30_000) // longer than any block of a recorder
    for (let i = 0; i < 2000; i++) {
      samples[38_000 + i] = samples[38_000 + i]! * (1 - i / 2000) * 0.05
      samples[40_500 + i] = samples[40_500 + i]! * (i / 2000) * 0.05
    }
    samples.fill(0, 39_990, 40_510)
    samples.fill(0, 50_000, 50_010)
    expect(found(onGrid(samples, 24)).count).toBe(0)
  })

  it.each([32, 64, 128, 256, 512, 1024, 2048])('finds a block of %i frames that came twice', size => {
    const samples = music('twice', 40_000)
    const at = 17_003
    const copied = samples.slice()
    copied.set(samples.subarray(at - size, at), at)
    const { count, first } = found(copied)
    expect(count).toBe(1)
    expect(first[0]!.kind).toBe('repeat')
    // Frames beside the copy may agree by chance.
    expect(Math.abs(first[0]!.startFrame - at)).toBeLessThanOrEqual(4)
    expect(Math.abs(first[0]!.frames - size)).toBeLessThanOrEqual(4)
  })

  it('is not taken in by periodic sound, held values or silence', () => {
    for (const period of [8, 16, 32, 64, 256, 2048]) {
      const unit = music(`period ${period}`, period)
      const samples = Float64Array.from({ length: 40_000 }, (_, i) => unit[i % period]!)
      expect(found(samples).count).toBe(0)
    }
    expect(found(onGrid(sine(1500, 48000, 40_000, { amplitude: 0.5 }), 16)).count).toBe(0)
    expect(found(new Float64Array(40_000).fill(0.25)).count).toBe(0)
    expect(found(new Float64Array(40_000)).count).toBe(0)
    expect(found(onGrid(noise('quiet', 40_000, 0.0001), 16)).count).toBe(0)
  })

  it('finds nothing in a minute of sound that lost nothing', () => {
    let frames = 0
    for (const bits of [16, 24]) {
      const samples = onGrid(music(`sound ${bits}`, 400_000), bits)
      frames += samples.length
      expect(found(samples).count).toBe(0)
    }
    expect(frames).toBe(800_000)
  })

  it('does not take a low note in an 8-bit coding for lost samples, and still finds them in a loud one', () => {
    const step = 1 / 128
    // 41 Hz, ringing out from full scale to under two steps: it rests at zero for 16 frames and more as it crosses
    const note = Float64Array.from({ length: 96_000 }, (_, n) => {
      const value = 0.9 * Math.exp(-n / 24_000) * Math.sin((2 * Math.PI * 41 * n) / 48_000)
      return Math.round(value / step) * step
    })
    expect(found(note).count).toBeGreaterThan(10)
    expect(found(note, 8192, step).count).toBe(0)
    note.fill(0, 10_300, 10_400)
    expect(Math.min(Math.abs(note[10_299]!), Math.abs(note[10_400]!))).toBeGreaterThan(0.1)
    expect(found(note, 8192, step).first).toMatchObject([{ startFrame: 10_300, frames: 100, kind: 'zeros' }])
  })
})
