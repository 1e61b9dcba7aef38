import fs from 'node:fs'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { RealFft } from '../../src/signal/fft.js'
import { inProcess } from '../../src/terms/task.js'
import { seenGroup } from '../../src/tone/blend-tone.js'
import { PARTIALS } from '../../src/tone/notes/harmonic-series.js'
import { blendPower } from '../../src/tone/predict/blend-power.js'
import { spectralGrid } from '../../src/tone/spectra/resolution.js'
import type { SegmentSums } from '../../src/tone/spectra/sums.js'
import type { View } from '../../src/tone/spectra/view.js'
import { viewSums } from '../../src/tone/spectra/view-sums.js'
import { toneTasks } from '../../src/tone/tasks.js'
import { temporaryFolder, writeWave } from './setting/plans.js'
import * as sounds from './setting/sounds.js'

/**
 * The sums of spectra of a whole view against the same sums taken the plain way: every window by itself, by a transform in double precision of
 * the sounds as they were made, the low end at the full rate. Two pieces of work, three signals, one of them of a stereo file.
 *
 * Tolerance: the transforms are in single precision, -135 dB of the level of a frame; the filter before the low end keeps its band to -100 dB, so
 * that a power is right to 2e-5.
 */
const RATE = 8000
const FRAMES = 39.9 * RATE
const NOTE_AT = 36
const grid = spectralGrid(RATE)

const folder = temporaryFolder()
afterAll(() => {
  fs.rmSync(folder, { recursive: true, force: true })
})

const played = sounds.whiteNoise(40 * RATE, 'played', 0.001)
sounds.addPluck(played, RATE, { hz: 220, at: NOTE_AT, seconds: 3, amplitude: 0.3, ring: 3 })
const heard = sounds.mixed(
  sounds.reflected(played, [{ frames: 13, gain: 0.8 }]),
  sounds.whiteNoise(played.length, 'heard', 3e-4),
)
const right = sounds.whiteNoise(played.length, 'right', 0.002)

const RECORDED_AT = [0, 50.5] as const
const GAINS = [0.5, -0.7] as const
const PLACES = [-40, 30] as const
const WEIGHTS = [1, 4, 0.25] as const

const place = (atSamples: number, recordedAtSamples: number) => ({
  atSamples,
  recordedAtSamples,
  follow: null,
})

const view: View = {
  sampleRateHz: RATE,
  frames: FRAMES,
  sources: [
    {
      file: `${folder}/played.wav`,
      selection: { kind: 'all' },
      channels: 1,
      placement: place(PLACES[0] - 0.2, RECORDED_AT[0]),
    },
    {
      file: `${folder}/heard.wav`,
      selection: { kind: 'all' },
      channels: 2,
      placement: place(PLACES[1] + 0.3, RECORDED_AT[1]),
    },
  ],
  signals: [
    { source: 0, channel: 0, weight: WEIGHTS[0] },
    { source: 1, channel: 0, weight: WEIGHTS[1] },
    { source: 1, channel: 1, weight: WEIGHTS[2] },
  ],
  pairs: [
    [0, 1],
    [0, 2],
  ],
  asRecorded: [
    {
      parts: [
        { signal: 0, gain: GAINS[0], recordedAtSamples: RECORDED_AT[0] },
        { signal: 1, gain: GAINS[1], recordedAtSamples: RECORDED_AT[1] },
      ],
    },
  ],
}

/** A sound on the timeline, silence outside of it. */
const laid = (sound: Float64Array, at: number): Float64Array =>
  Float64Array.from({ length: FRAMES }, (_, n) => sound[n - at] ?? 0)

interface PlainSums {
  readonly auto: readonly Float64Array[]
  readonly cross: readonly (readonly [Float64Array, Float64Array])[]
  readonly asRecorded: Float64Array
  energy: number
  energySquared: number
}

/** All windows that hold a frame of the timeline; each ends at a whole number of hops. */
const plainSums = (
  signals: readonly Float64Array[],
  window: Float64Array,
  hop: number,
  fftSize: number,
): PlainSums => {
  const fft = new RealFft(fftSize)
  const empty = () => new Float64Array(fft.bins)
  const sums: PlainSums = {
    auto: signals.map(empty),
    cross: view.pairs.map(() => [empty(), empty()]),
    asRecorded: empty(),
    energy: 0,
    energySquared: 0,
  }
  const frame = new Float64Array(fftSize)
  const spectra = signals.map(() => new Float64Array(fftSize + 2))
  for (let start = hop - window.length; start < FRAMES; start += hop) {
    let energy = 0
    signals.forEach((signal, s) => {
      window.forEach((w, n) => {
        frame[n] = w * (signal[start + n] ?? 0)
        energy += frame[n] * frame[n]
      })
      fft.forward(frame, spectra[s]!)
    })
    sums.energy += energy
    sums.energySquared += energy * energy
    for (let k = 0; k < fft.bins; k++) {
      const re = spectra.map(spectrum => spectrum[2 * k]!)
      const im = spectra.map(spectrum => spectrum[2 * k + 1]!)
      for (const s of signals.keys()) sums.auto[s]![k] = sums.auto[s]![k]! + re[s]! * re[s]! + im[s]! * im[s]!
      view.pairs.forEach(([i, j], p) => {
        const [real, imaginary] = sums.cross[p]!
        real[k] = real[k]! + re[i]! * re[j]! + im[i]! * im[j]!
        imaginary[k] = imaginary[k]! + re[i]! * im[j]! - im[i]! * re[j]!
      })
      let sumRe = 0
      let sumIm = 0
      for (const s of [0, 1] as const) {
        const turn = (-2 * Math.PI * k * (RECORDED_AT[s] - PLACES[s])) / fftSize
        sumRe += GAINS[s] * (re[s]! * Math.cos(turn) - im[s]! * Math.sin(turn))
        sumIm += GAINS[s] * (re[s]! * Math.sin(turn) + im[s]! * Math.cos(turn))
      }
      sums.asRecorded[k] = sums.asRecorded[k]! + sumRe * sumRe + sumIm * sumIm
    }
  }
  return sums
}

const expectSame = (
  found: Float64Array,
  expected: Float64Array,
  bins: number,
  within: number,
  factor = 1,
): void => {
  const scale = expected.reduce((most, value) => Math.max(most, Math.abs(value)), 0)
  expect(scale).toBeGreaterThan(0)
  let worst = 0
  for (let k = 0; k < bins; k++) worst = Math.max(worst, Math.abs(found[k]! * factor - expected[k]!))
  expect(worst / scale).toBeLessThan(within)
}

let found: SegmentSums
let signals: readonly Float64Array[]
beforeAll(async () => {
  writeWave(`${folder}/played.wav`, [played], RATE)
  writeWave(`${folder}/heard.wav`, [heard, right], RATE)
  // Files of 32-bit floats hold what was made to 1e-7.
  signals = [laid(played, PLACES[0]), laid(heard, PLACES[1]), laid(right, PLACES[1])]
  found = await viewSums(view, inProcess(toneTasks))
})

describe('sums of spectra of a view', () => {
  test('above the crossover: every window once, whichever piece of work it came from', () => {
    const { window, hop, fftSize } = grid.normal
    const plain = plainSums(signals, window, hop, fftSize)
    const { normal } = found
    for (const s of signals.keys()) expectSame(normal.auto[s]!, plain.auto[s]!, fftSize / 2 + 1, 2e-6)
    plain.cross.forEach(([real, imaginary], p) => {
      expectSame(normal.real[p]!, real, fftSize / 2 + 1, 2e-6)
      expectSame(normal.imaginary[p]!, imaginary, fftSize / 2 + 1, 2e-6)
    })
    expectSame(normal.asRecorded[0]!, plain.asRecorded, fftSize / 2 + 1, 2e-6)
    expect(normal.energy / plain.energy).toBeCloseTo(1, 5)
    expect(normal.energySquared / plain.energySquared).toBeCloseTo(1, 5)
    // Notes are looked for in the weighted power of all signals.
    const power = plain.auto.map((auto, s) => WEIGHTS[s]! * auto.reduce((sum, value) => sum + value, 0))
    expect(found.heard / power.reduce((a, b) => a + b, 0)).toBeCloseTo(1, 5)
  })

  test('the low end, at a lower rate: the same as at the full rate', () => {
    const { factor, fftSize, hop } = grid.low
    expect(factor).toBe(2)
    const length = grid.low.window.length * factor
    const window = Float64Array.from({ length }, (_, n) => Math.sin((Math.PI * n) / length) ** 2)
    const plain = plainSums(signals, window, hop * factor, fftSize * factor)
    const upTo = Math.floor(600 / grid.low.binHz)
    for (const s of signals.keys())
      expectSame(found.low.auto[s]!, plain.auto[s]!, upTo, 2e-5, factor * factor)
    plain.cross.forEach(([real, imaginary], p) => {
      expectSame(found.low.real[p]!, real, upTo, 2e-5, factor * factor)
      expectSame(found.low.imaginary[p]!, imaginary, upTo, 2e-5, factor * factor)
    })
    expectSame(found.low.asRecorded[0]!, plain.asRecorded, upTo, 2e-5, factor * factor)
  })

  test('a note is heard when it is played, in the second piece of work', () => {
    const energies = found.notes.subarray(57 * PARTIALS, 58 * PARTIALS)
    expect(energies.reduce((a, b) => a + b, 0)).toBeGreaterThan(
      0.9 * found.notes.reduce((sum, energy) => sum + energy, 0),
    )
    const [first] = found.moments
    expect(first?.midi).toBe(57)
    // The window in which it is loudest begins at most a window before it, and holds most of it.
    const begins = (NOTE_AT * RATE + PLACES[0]) / RATE - first!.atSeconds
    expect(begins).toBeLessThan(grid.normal.window.length / RATE / 2)
    expect(begins).toBeGreaterThan(-grid.normal.window.length / RATE)
  })
})

test('what predictions are made from: densities by which every sound has its own energy, and what was summed as recorded', () => {
  const seen = seenGroup(view, found)
  const { widthsHz } = seen.spectra.bins
  const energyOf = (density: Float64Array): number =>
    density.reduce((sum, value, k) => sum + (2 * value * widthsHz[k]!) / RATE, 0)
  const energies = signals.map(signal => signal.reduce((sum, x) => sum + x * x, 0))
  // Parseval; where the two resolutions cross over each stands for its share of the axis only on average: half a percent here.
  for (const [s, auto] of seen.spectra.auto.entries())
    expect(Math.abs(energyOf(auto) / energies[s]! - 1)).toBeLessThan(0.005)
  expectSame(
    seen.loudness,
    seen.spectra.auto[0]!.map(
      (value, k) =>
        WEIGHTS[0] * value + WEIGHTS[1] * seen.spectra.auto[1]![k]! + WEIGHTS[2] * seen.spectra.auto[2]![k]!,
    ),
    widthsHz.length,
    1e-12,
  )
  // Nothing follows here, so that one phase turns each part back as well.
  const parts = [0, 1].map(signal => ({
    signal,
    gain: GAINS[signal]!,
    laterSeconds: (RECORDED_AT[signal]! - PLACES[signal]!) / RATE,
  }))
  expectSame(seen.asRecorded[0]!, blendPower(parts, seen.spectra).power, widthsHz.length, 1e-5)
  // What the two signals share is believed, what chance adds to noises that share nothing (above the note) is not.
  const powerOf = ({ real, imaginary }: { real: Float64Array; imaginary: Float64Array }): number =>
    real.reduce(
      (sum, re, k) => (seen.spectra.bins.frequenciesHz[k]! < 3000 ? sum : sum + re * re + imaginary[k]! ** 2),
      0,
    )
  expect(powerOf(seen.shared.cross[0]!) / powerOf(seen.spectra.cross[0]!)).toBeGreaterThan(0.95)
  expect(powerOf(seen.shared.cross[1]!) / powerOf(seen.spectra.cross[1]!)).toBeLessThan(0.7)
})
