import { describe, expect, test } from 'vitest'
import type { Plan, PlannedStem } from '../../src/decide/plan.js'
import { applyDelay, designDelay } from '../../src/signal/fractional-delay.js'
import { hann } from '../../src/signal/windows.js'
import { bandEnergies, bandWeights } from '../../src/tone/check/band-weights.js'
import { movedPower } from '../../src/tone/check/moved-power.js'
import { unsmear } from '../../src/tone/check/unsmear.js'
import { voicesOf } from '../../src/tone/neighbours/voices.js'
import { frequencyOfMidi, midiOfFrequency, nameOfMidi } from '../../src/tone/notes/played.js'
import { joinBins } from '../../src/tone/predict/cross-spectra.js'
import { toneBins } from '../../src/tone/predict/tone-bins.js'
import { windowCorrelations } from '../../src/tone/spectra/power-window.js'
import { type Resolution, spectralGrid } from '../../src/tone/spectra/resolution.js'
import type { SpectralSums } from '../../src/tone/spectra/sums.js'
import { binsAt, coherentSpectra, flat, late } from './setting/spectra.js'

/* Pieces of the check against their formulas (found by `npm run mutants`). */

describe('power of parts as the renderer moves them', () => {
  const hz = [100, 440, 5000, 12000]
  const spectra = coherentSpectra(binsAt(hz), [flat, late(0.001), late(0.0003)], f => 1 + f / 1000)

  test('is |Σ g e^(−j2πf(τ + t))|², each part late by τ and moved later by t', () => {
    const parts = [
      { signal: 0, gain: 1, laterSeconds: 0.0002, filteredSamples: 0 },
      { signal: 1, gain: -0.5, laterSeconds: -0.0007, filteredSamples: 0.25 },
      { signal: 2, gain: 2, laterSeconds: 0, filteredSamples: 0 },
    ]
    const power = movedPower(parts, spectra, 48000)
    hz.forEach((f, k) => {
      let re = 0
      let im = 0
      for (const [gain, seconds] of [
        [1, 0.0002],
        [-0.5, 0.0003],
        [2, 0.0003],
      ] as const) {
        re += gain * Math.cos(2 * Math.PI * f * seconds)
        im -= gain * Math.sin(2 * Math.PI * f * seconds)
      }
      expect(power[k]! / ((1 + f / 1000) * (re * re + im * im))).toBeCloseTo(1, 9)
    })
  })

  test('beyond the band of the filter its own response counts: less than all, the more the nearer to half the rate', () => {
    const top = coherentSpectra(binsAt([20000, 22000, 23500]), [flat])
    const [inBand, above, far] = movedPower(
      [{ signal: 0, gain: 1, laterSeconds: 0, filteredSamples: 0.5 }],
      top,
      48000,
    )
    expect(inBand).toBeCloseTo(1, 12)
    expect(above).toBeLessThan(1)
    expect(far).toBeLessThan(above!)
    expect(far).toBeGreaterThan(0)
    const [whole] = movedPower(
      [{ signal: 0, gain: 1, laterSeconds: 0, filteredSamples: 0 }],
      top,
      48000,
    ).slice(2)
    expect(whole).toBeCloseTo(1, 12)
  })
})

test('near half the rate a part is what the filter of the renderer makes of it, in level and phase', () => {
  const rate = 48000
  for (const fraction of [0.5, 0.3]) {
    const kernel = designDelay(fraction, rate)
    const { halfLength } = kernel
    const input = new Float64Array(8 * halfLength)
    const pulse = 4 * halfLength
    input[pulse] = 1
    const output = new Float64Array(input.length - 2 * halfLength)
    applyDelay(kernel, input, output)
    const hz = [22500, 23200]
    const spectra = coherentSpectra(binsAt(hz), [flat, flat])
    const power = movedPower(
      [
        { signal: 0, gain: 1, laterSeconds: fraction / rate, filteredSamples: fraction },
        { signal: 1, gain: 1, laterSeconds: 0, filteredSamples: 0 },
      ],
      spectra,
      rate,
    )
    hz.forEach((f, k) => {
      // Transform of what came out, from the place of the pulse on.
      let re = 1
      let im = 0
      output.forEach((value, n) => {
        const turn = (-2 * Math.PI * f * (n - (pulse - halfLength))) / rate
        re += value * Math.cos(turn)
        im += value * Math.sin(turn)
      })
      expect(power[k]).toBeCloseTo(re * re + im * im, 9)
    })
  }
})

describe('bands as weights', () => {
  test('a level density of 1 has the energy of its bands: a width of 10^(1/20) − 10^(−1/20) of the middle, twice over the rate', () => {
    const bins = toneBins(spectralGrid(48000))
    const energies = bandEnergies(new Float64Array(bins.frequenciesHz.length).fill(1), bandWeights(48000))
    bandWeights(48000).forEach(({ band, weights }, b) => {
      // A Butterworth band-pass of order n passes π/2n / sin(π/2n) of its width: 1.047 for three, 1.026 for four, 1.011 for six.
      const share = energies[b]! / ((2 * (band.highHz - band.lowHz)) / 48000)
      expect(share, String(band.midHz)).toBeGreaterThan(1)
      expect(share, String(band.midHz)).toBeLessThan(1.06)
      const outside = weights.filter(
        (weight, k) =>
          weight !== 0 &&
          (bins.frequenciesHz[k]! < band.midHz / 8 || bins.frequenciesHz[k]! > band.midHz * 8),
      )
      expect(outside).toHaveLength(0)
    })
    expect(bandWeights(48000)).toBe(bandWeights(48000))
  })

  test('bins of both resolutions in one list', () => {
    const bins = {
      ...binsAt([1, 2, 3, 4, 5]),
      low: { first: 1, count: 2, scale: 10 },
      normal: { first: 2, count: 3, scale: 100 },
    }
    expect([...joinBins(bins, Float64Array.of(0, 1, 2, 3), Float64Array.of(0, 1, 2, 3, 4))]).toEqual([
      10, 20, 200, 300, 400,
    ])
  })
})

describe('the blur of windows taken out', () => {
  const window = hann(64)
  const resolution = { window, fftSize: 128 } as unknown as Resolution
  const left = windowCorrelations(window, 64)
  /** Spectrum of a correlation over lags, seen through the window. */
  const seen = (correlation: (lag: number) => number): Float64Array =>
    Float64Array.from({ length: 65 }, (_, k) => {
      let sum = 0
      for (let lag = -63; lag <= 63; lag++)
        sum += correlation(lag) * left[Math.abs(lag)]! * Math.cos((2 * Math.PI * k * lag) / 128)
      return sum
    })
  const correlationOf = (spectrum: Float64Array, lag: number): number => {
    let sum = spectrum[0]! + spectrum[64]! * Math.cos(Math.PI * lag)
    for (let k = 1; k < 64; k++) sum += 2 * spectrum[k]! * Math.cos((2 * Math.PI * k * lag) / 128)
    return sum / 128
  }

  test('gives back what was there, to six tenths of the window, and nothing from three quarters on', () => {
    const rings = (lag: number): number => 0.9 ** Math.abs(lag) * Math.cos(0.7 * lag)
    const sums = {
      auto: [seen(rings)],
      real: [seen(rings)],
      imaginary: [new Float64Array(65)],
    } as unknown as SpectralSums
    const sharp = unsmear(sums, resolution)
    for (const spectrum of [sharp.auto[0]!, sharp.real[0]!]) {
      for (const lag of [0, 1, 5, 20, 38]) expect(correlationOf(spectrum, lag)).toBeCloseTo(rings(lag), 9)
      for (const lag of [48, 55, 63]) expect(correlationOf(spectrum, lag)).toBeCloseTo(0, 9)
      // half-way between the two it is half
      expect(correlationOf(spectrum, 43) / rings(43)).toBeCloseTo(
        0.5 + 0.5 * Math.cos((Math.PI * (43 / 64 - 0.6)) / 0.15),
        6,
      )
    }
    for (const value of sharp.imaginary[0]!) expect(value).toBeCloseTo(0, 9)
  })
})

describe('names of notes', () => {
  test('all twelve, with their octave', () => {
    expect(Array.from({ length: 12 }, (_, i) => nameOfMidi(60 + i))).toEqual(
      'C4 C♯4 D4 D♯4 E4 F4 F♯4 G4 G♯4 A4 A♯4 B4'.split(' '),
    )
    expect([nameOfMidi(28), nameOfMidi(21), nameOfMidi(0), nameOfMidi(-1)]).toEqual([
      'E1',
      'A0',
      'C-1',
      'B-2',
    ])
    expect(frequencyOfMidi(69)).toBe(440)
    expect(frequencyOfMidi(57)).toBeCloseTo(220, 9)
    expect([220, 226, 227, 440].map(midiOfFrequency)).toEqual([57, 57, 58, 69])
  })
})

describe('what stands for each group in the song', () => {
  const stem = (
    group: string,
    name: string,
    keys: readonly string[],
    more: Partial<PlannedStem> = {},
  ): PlannedStem =>
    ({
      group,
      name,
      kind: 'blend',
      aligned: true,
      sampleRateHz: 48000,
      parts: keys.map(key => ({ key })),
      ...more,
    }) as unknown as PlannedStem
  const voices = (groups: readonly string[], stems: readonly PlannedStem[]) =>
    voicesOf({ groups: groups.map(name => ({ name })), stems } as unknown as Plan).voices.map(
      ({ group, stems: own }) => [group, ...own.map(({ name }) => name)],
    )

  test('its first aligned blend, else its first blend, else all its single sources', () => {
    const a = [
      stem('a', 'raw', ['a/1'], { aligned: false }),
      stem('a', 'mix', ['a/1']),
      stem('a', 'more', ['a/1']),
    ]
    const b = [stem('b', 'b1', ['b/1'], { kind: 'source' }), stem('b', 'b2', ['b/2'], { kind: 'source' })]
    expect(voices(['a', 'b'], [...a, ...b])).toEqual([
      ['a', 'mix'],
      ['b', 'b1', 'b2'],
    ])
    expect(voices(['a', 'b'], [a[0]!, ...b])[0]).toEqual(['a', 'raw'])
    expect(voices(['a'], a)).toEqual([])
    expect(voices(['a', 'none'], a)).toEqual([])
  })

  test('a group whose recordings are all in another is heard there; of two alike the first stays', () => {
    const kick = stem('kick', 'kick', ['kick/in', 'kick/out'])
    const kit = stem('kit', 'kit', ['kick/in', 'kick/out', 'kit/top'])
    const bass = stem('bass', 'bass', ['bass/1'])
    expect(voices(['kick', 'kit', 'bass'], [kick, kit, bass])).toEqual([
      ['kit', 'kit'],
      ['bass', 'bass'],
    ])
    const again = stem('again', 'again', ['bass/1'])
    expect(voices(['bass', 'again', 'kit'], [bass, again, kit])).toEqual([
      ['bass', 'bass'],
      ['kit', 'kit'],
    ])
    const half = stem('half', 'half', ['kick/in', 'other'])
    expect(voices(['half', 'kit'], [half, kit])).toHaveLength(2)
  })

  test('groups of another rate are not compared', () => {
    const other = stem('b', 'b', ['b/1'], { sampleRateHz: 44100 })
    const third = stem('c', 'c', ['c/1'])
    expect(voices(['a', 'b', 'c'], [stem('a', 'a', ['a/1']), other, third])).toEqual([
      ['a', 'a'],
      ['c', 'c'],
    ])
    expect(voices(['a', 'b'], [stem('a', 'a', ['a/1']), other])).toEqual([])
  })
})
