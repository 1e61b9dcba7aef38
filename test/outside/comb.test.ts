import { describe, expect, test } from 'vitest'
import { blendPower } from '../../src/tone/predict/blend-power.js'
import type { GroupSpectra } from '../../src/tone/predict/cross-spectra.js'
import { evennessDb } from '../../src/tone/predict/evenness.js'
import { firstNotchHz } from '../../src/tone/predict/first-notch.js'
import { lossDb } from '../../src/tone/predict/loss.js'
import { noted } from '../evidence.js'
import { binsAt, coherentSpectra, flat, late } from '../tone/setting/spectra.js'

/**
 * Comb-filter facts. Source of every number here: computed from |1 + g e^(-j 2 pi f tau)| and, for the loss, from
 * 20 log10((1 + g) / |1 + g e^(-j 2 pi f tau)|), the definitions themselves, to four places by a program that is not this one.
 * Tolerance: the printed rounding, half of 1e-4 dB, and what a reader may still call the same, 0.001 dB.
 */

const TOLERANCE_DB = 0.001
const gainOf = (db: number): number => 10 ** (db / 20)

/** Spectra of a sound and its copy at unit gain, later by `seconds`, in bins at the frequencies given. */
const pair = (frequenciesHz: readonly number[], seconds: number): GroupSpectra =>
  coherentSpectra(binsAt(frequenciesHz), [flat, late(seconds)])

const sum = (spectra: GroupSpectra, gain: number, laterSeconds = 0) =>
  blendPower(
    [
      { signal: 0, gain: 1, laterSeconds: 0 },
      { signal: 1, gain, laterSeconds },
    ],
    spectra,
  )

const lossesAt = (frequenciesHz: readonly number[], seconds: number, gain: number): number[] => {
  const { power, inPhase } = sum(pair(frequenciesHz, seconds), gain)
  return frequenciesHz.map((_, k) => lossDb(power[k]!, inPhase[k]!)!)
}

describe('a path and its copy', () => {
  // copy's level dB, peak dB, notch dB, ripple = loss at the notch, mean power dB
  test.each([
    [-1, 5.535, -19.2715, 24.8065, 2.539],
    [-3, 4.6495, -10.6907, 15.3402, 1.7643],
    [-6, 3.5287, -6.0412, 9.5699, 0.9732],
    [-9, 2.6376, -3.8063, 6.4439, 0.515],
    [-12, 1.9465, -2.5126, 4.459, 0.2657],
  ])('copy at %d dB', (copyDb, peak, notch, ripple, mean) => {
    const periods = Array.from({ length: 4000 }, (_, k) => k * 0.25) // whole periods of 1 kHz
    const { power, inPhase } = sum(pair(periods, 0.001), gainOf(copyDb))
    const levels = Array.from(power, p => 10 * Math.log10(p))
    expect(Math.max(...levels)).toBeCloseTo(peak, 3)
    expect(Math.min(...levels)).toBeCloseTo(notch, 3)
    const losses = levels.map((_, k) => lossDb(power[k]!, inPhase[k]!)!)
    expect(Math.max(...losses)).toBeCloseTo(ripple, 3)
    noted('comb-loss', Math.max(...losses) - ripple)
    expect(10 * Math.log10(power.reduce((a, b) => a + b, 0) / power.length)).toBeCloseTo(mean, 3)
    // Jensen's formula: the curve in dB averages to 0 over whole periods. A sum of dB where powers belong would show no change at all.
    expect(levels.reduce((a, b) => a + b, 0) / levels.length).toBeCloseTo(0, 3)
  })

  test('equal levels: +6.0206 dB in phase, and the loss at the notch is told as 60 dB, the deepest', () => {
    const { power, inPhase } = sum(pair([0, 500], 0.001), 1)
    expect(10 * Math.log10(power[0]!)).toBeCloseTo(6.0206, 4)
    expect(lossDb(power[1]!, inPhase[1]!)).toBe(60)
  })

  test('3:1 distance, spill at -9.542 dB: the ripple is 6.021 dB, not "1 dB or less"', () => {
    const [peak, dip] = lossesAt([0, 500], 0.001, gainOf(-9.542))
    expect(dip! - peak!).toBeCloseTo(6.021, 2)
  })
})

describe('loss over f tau', () => {
  const products = [0.05, 0.1, 0.125, 1 / 6, 0.25, 1 / 3, 0.4, 0.45, 0.49]
  test.each([
    ['equal, normal', 1, [0.1076, 0.4359, 0.6877, 1.2494, 3.0103, 6.0206, 10.2004, 16.1134, 30.0584]],
    ['equal, inverted', -1, [16.1134, 10.2004, 8.3432, 6.0206, 3.0103, 1.2494, 0.4359, 0.1076, 0.0043]],
    ['-6 dB, normal', gainOf(-6), [0.0956, 0.3855, 0.6062, 1.0924, 2.5555, 4.7781, 7.0917, 8.7884, 9.5356]],
  ])('%s', (_, gain, expected) => {
    const seconds = 0.002
    const losses = lossesAt(
      products.map(p => p / seconds),
      seconds,
      gain,
    )
    expect(losses).toHaveLength(9)
    losses.forEach((loss, i) => {
      expect(Math.abs(loss - expected[i]!)).toBeLessThan(TOLERANCE_DB)
      noted('comb-loss', loss - expected[i]!)
    })
  })

  // tau ms, frequencies of 1, 3 and 6.02 dB of loss, equal paths, normal
  test.each([
    [0.1, 1498.29, 2496.22, 3333.33],
    [0.5, 299.66, 499.24, 666.67],
    [1, 149.83, 249.62, 333.33],
    [2, 74.91, 124.81, 166.67],
    [5, 29.97, 49.92, 66.67],
    [10, 14.98, 24.96, 33.33],
  ])('tau %d ms', (ms, one, three, six) => {
    const [atOne, atThree, atSix] = lossesAt([one, three, six], ms / 1000, 1)
    expect(atOne).toBeCloseTo(1, 2) // the frequencies are printed to 0.005 Hz
    expect(atThree).toBeCloseTo(3, 2)
    expect(atSix).toBeCloseTo(6.0206, 2)
  })
})

describe('turning back and forth', () => {
  test('a copy that is moved by minus its lag loses nothing, at any frequency', () => {
    const frequencies = Array.from({ length: 200 }, (_, k) => 20 + 97 * k)
    const { power, inPhase } = sum(pair(frequencies, 0.0019856), 0.7, -0.0019856)
    frequencies.forEach((_, k) => {
      expect(lossDb(power[k]!, inPhase[k]!)).toBeLessThan(1e-9)
    })
  })

  test('the wrong sign of the move is seen: moved later by its lag, it loses as if it were late by twice as much', () => {
    const tau = 0.0005
    const { power, inPhase } = sum(pair([200], tau), 1, tau)
    expect(lossDb(power[0]!, inPhase[0]!)).toBeCloseTo(lossesAt([200], 2 * tau, 1)[0]!, 9)
  })

  // Loss of a residual lag of some frames at 48 kHz, equal paths: -20 log10 |cos(pi f e / rate)|.
  test.each([
    [0.04, 10000, 0.00298],
    [0.1, 20000, 0.07463],
    [0.5, 10000, 0.47364],
    [1, 20000, 11.74008],
  ])('%d frames at %d Hz', (frames, hz, expected) => {
    const { power, inPhase } = sum(pair([hz], 0), 1, frames / 48000)
    expect(lossDb(power[0]!, inPhase[0]!)).toBeCloseTo(expected, 4)
  })
})

test('partly coherent: S11 = 1, S22 = 0.25, |gamma| = 0.8, 1 ms', () => {
  const frequencies = [250, 500, 1000]
  const shared = 0.8 * 0.5
  const spectra: GroupSpectra = {
    bins: binsAt(frequencies),
    pairs: [[0, 1]],
    auto: [Float64Array.of(1, 1, 1), Float64Array.of(0.25, 0.25, 0.25)],
    cross: [
      {
        real: Float64Array.from(frequencies, hz => shared * late(0.001)(hz)[0]),
        imaginary: Float64Array.from(frequencies, hz => shared * late(0.001)(hz)[1]),
      },
    ],
  }
  const recorded = sum(spectra, 1)
  const aligned = sum(spectra, 1, -0.001)
  const level = (power: Float64Array): number[] => Array.from(power, p => 10 * Math.log10(p))
  ;[0.9691, -3.4679, 3.1175].forEach((expected, k) => {
    expect(level(recorded.power)[k]).toBeCloseTo(expected, 3)
    expect(level(aligned.power)[k]).toBeCloseTo(3.1175, 3)
    expect(lossDb(aligned.power[k]!, aligned.inPhase[k]!)).toBeLessThan(1e-9)
  })
  ;[2.1484, 6.5854, 0].forEach((expected, k) => {
    expect(lossDb(recorded.power[k]!, recorded.inPhase[k]!)).toBeCloseTo(expected, 3)
  })
})

test('unrelated paths: +3.0103 dB, and the loss is 0 at every frequency', () => {
  const spectra = { ...pair([100, 1000], 0.001), pairs: [], cross: [] }
  const { power, inPhase } = sum(spectra, 1)
  expect(Array.from(power, p => 10 * Math.log10(p))).toEqual([
    expect.closeTo(3.0103, 4),
    expect.closeTo(3.0103, 4),
  ])
  expect([0, 1].map(k => lossDb(power[k]!, inPhase[k]!))).toEqual([0, 0])
})

describe('a path and the same through an analogue Butterworth high-pass', () => {
  // Poles of the order n on the unit circle; H(s) = s^n / product(s - p). Order, then loss normal/inverted at fc/2, fc, 2 fc.
  const highPass =
    (order: number, cornerHz: number) =>
    (hz: number): readonly [number, number] => {
      let [re, im] = [1, 0]
      for (let k = 0; k < order; k++) {
        const angle = (Math.PI * (2 * k + order + 1)) / (2 * order)
        // s / (s - p) with s = j f / fc
        const [dRe, dIm] = [-Math.cos(angle), hz / cornerHz - Math.sin(angle)]
        const size = dRe * dRe + dIm * dIm
        const [qRe, qIm] = [((hz / cornerHz) * dIm) / size, ((hz / cornerHz) * dRe) / size]
        ;[re, im] = [re * qRe - im * qIm, re * qIm + im * qRe]
      }
      return [re, im]
    }
  test.each([
    [1, [1.169, 4.18, 0.666, 7.656, 0.235, 12.539]],
    [2, [3.399, 0.389, 2.884, 2.884, 0.636, 8.652]],
    [3, [1.985, 0.114, 7.656, 0.666, 1.261, 5.987]],
    [4, [0.398, 0.623, 15.311, 0, 2.188, 4.026]],
  ])('order %d', (order, expected) => {
    const frequencies = [40, 80, 160]
    const spectra = coherentSpectra(binsAt(frequencies), [flat, highPass(order, 80)])
    const found = frequencies.flatMap((_, k) =>
      [1, -1].map(sign => {
        const { power, inPhase } = sum(spectra, sign)
        return lossDb(power[k]!, inPhase[k]!)!
      }),
    )
    expect(found).toHaveLength(6)
    found.forEach((loss, i) => {
      expect(Math.abs(loss - expected[i]!)).toBeLessThan(TOLERANCE_DB)
      noted('comb-loss', loss - expected[i]!)
    })
  })
})

describe('semitones of a bass, E1 to G2', () => {
  // f = 440 * 2^((m - 69) / 12); A4 = 440 Hz (from memory: ISO 16).
  const hzOf = (midi: number): number => 440 * 2 ** ((midi - 69) / 12)
  const cases = [
    {
      name: '2 ms',
      seconds: 0.002,
      gain: 1,
      losses: [0.294, 0.529, 0.755, 0.959, 1.22, 1.763],
      even: 0.4439,
      range: 1.4682,
    },
    {
      name: '5 ms',
      seconds: 0.005,
      gain: 1,
      losses: [1.963, 3.749, 5.729, 7.839, 11.282, 30.053],
      even: 7.2631,
      range: 28.0909,
    },
    {
      name: '5 ms inverted',
      seconds: 0.005,
      gain: -1,
      losses: [4.394, 2.379, 1.351, 0.78, 0.336, 0.004],
      even: 1.4152,
      range: 4.3898,
    },
    {
      name: '5 ms, -6 dB',
      seconds: 0.005,
      gain: gainOf(-6),
      losses: [1.697, 3.137, 4.581, 5.905, 7.529, 9.536],
      even: 2.5676,
      range: 7.8386,
    },
    {
      name: '95.31 frames',
      seconds: 95.31 / 48000,
      gain: 1,
      losses: [0.29, 0.522, 0.744, 0.945, 1.202, 1.735],
      even: 0.4371,
      range: 1.4453,
    },
  ]
  test.each(cases)('$name', ({ seconds, gain, losses, even, range }) => {
    const found = lossesAt([28, 33, 36, 38, 40, 43].map(hzOf), seconds, gain)
    found.forEach((loss, i) => {
      expect(Math.abs(loss - losses[i]!)).toBeLessThan(TOLERANCE_DB)
      noted('comb-loss', loss - losses[i]!)
    })
    const all = lossesAt(
      Array.from({ length: 16 }, (_, i) => hzOf(28 + i)),
      seconds,
      gain,
    )
    expect(Math.max(...all) - Math.min(...all)).toBeCloseTo(range, 3)
    expect(evennessDb(all.map(loss => ({ energyShare: 1 / 16, lossDb: loss })))).toBeCloseTo(even, 3)
  })

  test.each([
    ['2 ms', 0.002, 1, 0.4823],
    ['5 ms', 0.005, 1, 9.0406],
    ['5 ms inverted', 0.005, -1, 1.6714],
  ])('E1, A1, D2, G2 with energies 4, 2, 1, 1: %s', (_, seconds, gain, expected) => {
    const energies = [4, 2, 1, 1]
    const losses = lossesAt([28, 33, 38, 43].map(hzOf), seconds, gain)
    const notes = losses.map((loss, i) => ({ energyShare: energies[i]! / 8, lossDb: loss }))
    expect(evennessDb(notes)).toBeCloseTo(expected, 3)
  })
})

describe('first notch', () => {
  const bins = binsAt(
    Array.from({ length: 24001 / 0.5 }, (_, k) => 0.5 * k),
    0.5,
  )
  const notchOf = (seconds: number, gain: number): number | null =>
    firstNotchHz(sum(coherentSpectra(bins, [flat, late(seconds)]), gain), bins, 48000)

  // (2k + 1) / (2 tau), normal; the lowest that lies on the curve. Tolerance: half a tenth of the curve's step of a 24th octave.
  test.each([
    [0.1, 5000],
    [0.5, 1000],
    [1, 500],
    [2, 250],
    [5, 100],
    [10, 50],
    [95.31 / 48, 251.81],
  ])('a copy late by %d ms', (ms, hz) => {
    const found = notchOf(ms / 1000, 0.9)
    expect(Math.abs(Math.log2(found! / hz)) * 240).toBeLessThan(0.5)
    noted('comb-notch', 100 * (found! / hz - 1))
  })

  test('inverted, the notch at 0 Hz is none that is told: the first is at 1/tau', () => {
    expect(notchOf(0.0005, -0.9)).toBeCloseTo(2000, -1)
  })

  test('-9 dB has one (6.44 dB deep), -12 dB none (4.46 dB)', () => {
    expect(notchOf(0.002, gainOf(-9))).toBeCloseTo(250, -0.5)
    expect(notchOf(0.002, gainOf(-12))).toBeNull()
  })

  test('in phase there is none, and inverted without a lag only the whole is lost', () => {
    expect(notchOf(0, 1)).toBeNull()
    expect(notchOf(0, -0.5)).toBeNull()
  })
})
