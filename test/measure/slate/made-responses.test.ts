import { describe, expect, test } from 'vitest'
import { responseLag } from '../../../src/measure/slate/response-lag.js'
import { likeness, responseSpectrum } from '../../../src/measure/slate/response-spectrum.js'
import { bandWeight } from '../../../src/measure/slate/slate-responses.js'
import { firstWavefront } from '../../../src/measure/slate/wavefront.js'
import { whiteNoise } from '../../corpus/random.js'
import { LENGTH, pulses, RATE, response } from './made-pulses.js'

/* Responses to the slate made from their spectra, without any sweep: what is then told of them is known exactly. */

const OCTAVES = [63, 125, 250, 500, 1000, 2000, 4000, 8000]

describe('the band of the slate', () => {
  test('is whole from 80 Hz to 12 kHz, and fades by half a cosine to nothing at 40 Hz and 16 kHz', () => {
    expect([20, 40, 80, 1000, 12000, 16000, 20000].map(bandWeight)).toEqual([0, 0, 1, 1, 1, 0, 0])
    expect([60, 14000].map(bandWeight)).toEqual([expect.closeTo(0.5, 12), expect.closeTo(0.5, 12)])
    expect(bandWeight(50)).toBeCloseTo(0.5 - 0.5 * Math.cos(Math.PI / 4), 12)
  })
})

describe('what a response holds', () => {
  test('what turns over with the sweep is the path, what does not is noise, each over a third of an octave', () => {
    const path = pulses([{ at: 500, factor: 2 }])
    const { fftSize, signal, noise } = responseSpectrum(response(path, 0, 0.001, 'spectrum'))
    expect(fftSize).toBe(8192)
    const bin = (hz: number): number => Math.round((hz * fftSize) / RATE)
    // A pulse of factor 2 has 2² everywhere in the band.
    for (const hz of [200, 1000, 8000]) expect(Math.abs(signal[bin(hz)]! / 4 - 1)).toBeLessThan(0.03)
    // Half the difference of two noises: half the power of one, 4096 · 1e-6; a third octave at 8 kHz holds 300 bins.
    expect(Math.abs(noise[bin(8000)]! / (0.5 * LENGTH * 1e-6) - 1)).toBeLessThan(0.2)
    expect(signal[bin(18000)]!).toBeLessThan(1)
  })

  test('likeness of both sweeps', () => {
    const path = pulses([{ at: 500, factor: 1 }])
    const of = (second: Float64Array): number => likeness({ ...response(path, 0), second })
    expect(of(path)).toBeCloseTo(1, 12)
    expect(of(path.map(v => -3 * v))).toBeCloseTo(-1, 12)
    expect(of(new Float64Array(LENGTH))).toBe(0)
    expect(Math.abs(of(whiteNoise(LENGTH, 'unlike')))).toBeLessThan(0.1)
  })
})

describe('the first wavefront', () => {
  const at = (path: Float64Array, noise = 0): number | null => {
    const one = response(path, 0, noise, 'front')
    return firstWavefront(responseSpectrum(one), RATE, LENGTH)
  }

  test('is the earliest within 9 dB of the strongest', () => {
    expect(at(pulses([{ at: 700, factor: 1 }]))).toBe(700)
    expect(at(pulses([{ at: 700, factor: -1 }]))).toBe(700)
    const behind = (factor: number) =>
      at(
        pulses([
          { at: 700, factor },
          { at: 1500, factor: 1 },
        ]),
      )
    // The levels over frequency are evened out, which weighs both alike.
    expect([behind(0.4), behind(0.3)]).toEqual([700, 1500])
  })

  test('is none in noise', () => {
    expect(at(new Float64Array(LENGTH), 0.1)).toBeNull()
    expect(at(new Float64Array(LENGTH))).toBeNull()
  })
})

describe('one path against another', () => {
  const reference = response(pulses([{ at: 1000, factor: 0.5 }]), 200)

  test('is late by what their places say, to a hundredth of a frame, and the polarity is told', () => {
    for (const [frames, factor] of [
      [37.3, -0.3],
      [-12.75, 0.8],
      [0, 0.5],
    ] as const) {
      const found = responseLag(reference, response(pulses([{ at: 1000 + frames, factor }]), 500))!
      expect(Math.abs(found.lagSamples - (300 + frames))).toBeLessThan(0.01)
      expect(found.sign).toBe(Math.sign(factor))
      expect(found.score).toBeGreaterThan(0.99)
      expect(found.score).toBeLessThanOrEqual(1 + 1e-12)
      // The best of the other polarity is the first side lobe of the band: 0.22 of a sinc, less with soft edges.
      expect(found.rival).toBeLessThan(0.25)
      expect(found.rival).toBeGreaterThan(0.02)
      expect(found.uncertaintySamples).toBe(0.005)
      expect(found.octaves.map(({ middleHz }) => middleHz)).toEqual(OCTAVES)
      for (const { excessSamples, weight } of found.octaves) {
        expect(Math.abs(excessSamples)).toBeLessThan(0.2)
        expect(weight).toBeGreaterThanOrEqual(6)
      }
    }
  })

  test('is told octave by octave: an all-pass at 1 kHz delays each by its own group delay', () => {
    const source = response(pulses([{ at: 1000, factor: -1 }], 1000), 200)
    const found = responseLag(reference, source)!
    // Group delay: 1 / (pi turnHz (1 + (f / turnHz)²)) seconds.
    expect(found.octaves.map(({ middleHz }) => middleHz)).toEqual(OCTAVES)
    for (const { middleHz, excessSamples } of found.octaves) {
      const delay = RATE / (Math.PI * 1000 * (1 + (middleHz / 1000) ** 2))
      const whole = found.lagSamples + excessSamples
      expect(Math.abs(whole - delay), `${middleHz} Hz`).toBeLessThan(Math.max(1, RATE / middleHz / 50))
    }
  })

  test('is as uncertain as it scatters, over twenty noises', () => {
    const path = pulses([{ at: 1020.5, factor: 0.5 }])
    const found = Array.from(
      { length: 20 },
      (_, i) =>
        responseLag(
          response(pulses([{ at: 1000, factor: 0.5 }]), 0, 0.01, `a ${i}`),
          response(path, 0, 0.01, `b ${i}`),
        )!,
    )
    const rms = (values: readonly number[]): number =>
      Math.sqrt(values.reduce((sum, v) => sum + v * v, 0) / values.length)
    const errors = rms(found.map(({ lagSamples }) => lagSamples - 20.5))
    const stated = rms(found.map(({ uncertaintySamples }) => uncertaintySamples))
    // Twenty errors tell their own size to a sixth; what is stated may be careful, by a factor of two.
    expect(stated / errors).toBeGreaterThan(0.7)
    expect(stated / errors).toBeLessThan(2.5)
  })

  test('is not told where one of them has no front', () => {
    expect(responseLag(reference, response(new Float64Array(LENGTH), 0, 0.1, 'none'))).toBeNull()
    expect(responseLag(response(new Float64Array(LENGTH), 0, 0.1, 'none'), reference)).toBeNull()
  })
})
