import { describe, expect, test } from 'vitest'
import { RealFft } from '../../src/signal/fft.js'
import { ditherPower, toneCheck } from '../../src/tone/check/tone-check.js'
import { unsmear } from '../../src/tone/check/unsmear.js'
import { FrameSums } from '../../src/tone/spectra/frame-sums.js'
import { spectralGrid } from '../../src/tone/spectra/resolution.js'
import type { View } from '../../src/tone/spectra/view.js'
import type { BlendTone } from '../../src/tone/tone.js'
import { toneWarnings } from '../../src/tone/tone-warnings.js'
import { whiteNoise } from './setting/sounds.js'

describe('prediction against measurement', () => {
  const none = [0, 0, 0, 0]

  test('only bands within 40 dB of the loudest are judged; the worst is the largest distance either way', () => {
    const check = toneCheck([100, 125, 160, 200], [1, 0.1, 1.01e-4, 1e-5], [1.01, 0.09, 1.01e-4, 5e-5], none)
    expect(check.bandsJudged).toBe(3)
    expect(check.thirdOctaves.map(band => band.judged)).toEqual([true, true, true, false])
    expect(check.worstDifferenceDb).toBeCloseTo(0.4576, 4)
    expect(check.thirdOctaves[0]?.differenceDb).toBeCloseTo(0.0432, 4)
    expect(check.thirdOctaves[1]?.differenceDb).toBeCloseTo(-0.4576, 4)
  })

  test('a band that is loud in only one of the two is judged, and far off', () => {
    const check = toneCheck([100, 125], [1, 1e-12], [1, 0.5], none)
    expect(check.worstDifferenceDb).toBeGreaterThan(100)
    expect(toneCheck([100, 125], [1, 0.5], [1, 0], none).worstDifferenceDb).toBeGreaterThan(100)
  })

  test('silence in both: nothing is judged, nothing is told', () => {
    const check = toneCheck([100, 125], [0, 0], [0, 0], none)
    expect(check.worstDifferenceDb).toBeNull()
    expect(check.bandsJudged).toBe(0)
    expect(check.thirdOctaves.map(band => band.predictedDb)).toEqual([null, null])
  })

  test('a band that is mostly dither is told and not judged', () => {
    const check = toneCheck([100, 125], [1, 0.5], [1, 0.6], [0, 0.06])
    expect(check.thirdOctaves[1]).toMatchObject({ judged: false })
    expect(check.thirdOctaves[1]?.differenceDb).toBeCloseTo(0.7918, 4)
  })
})

// TPDF total q^2/4: -96.3296 dBFS at 16 bit, -144.4944 at 24, full-scale square 0 (published: Wannamaker and others 2000; computed).
test.each([
  [16, -96.3296],
  [24, -144.4944],
] as const)('dither of %d bit', (bits, db) => {
  expect(10 * Math.log10(ditherPower(bits, true))).toBeCloseTo(db, 4)
  expect(ditherPower(bits, false)).toBe(0)
  expect(ditherPower('32f', true)).toBe(0)
})

test('without the blur of its windows the averaged spectrum is the transform of the whole sound', () => {
  // A sound of a few milliseconds has no correlation beyond: what is left must be its own power spectrum, exactly.
  const { low, normal } = spectralGrid(8000)
  for (const resolution of [low, normal]) {
    const view: View = {
      sampleRateHz: 8000,
      frames: 0,
      sources: [],
      signals: [{ source: 0, channel: 0, weight: 1 }],
      pairs: [],
      asRecorded: [],
    }
    const { window, hop, fftSize } = resolution
    const sums = new FrameSums(view, { ...resolution, factor: 1 })
    const sound = new Float64Array(4 * window.length)
    sound.set(whiteNoise(400, 'short'), 2 * window.length + 77)
    for (let start = 0; start + window.length <= sound.length; start += hop) {
      if (sums.transform([sound], start)) sums.add([{ offset: 0, sign: 1 }])
    }
    const [sharp] = unsmear(sums.sums(), resolution).auto
    const fft = new RealFft(fftSize)
    const whole = new Float64Array(fftSize + 2)
    fft.forward(sound.slice(2 * window.length, 2 * window.length + fftSize), whole)
    const scale = resolution.scale / (resolution.factor * resolution.factor)
    const powers = Array.from({ length: fft.bins }, (_, k) => whole[2 * k]! ** 2 + whole[2 * k + 1]! ** 2)
    const loudest = Math.max(...powers)
    expect(powers.length).toBeGreaterThan(1000)
    // Windows half apart ripple by 0.3 % in what they leave of a lag of 1/20 of their length; the Hann windows by nothing.
    const tolerance = resolution === low ? 1e-4 : 0.02
    powers.forEach((power, k) => {
      expect(Math.abs(sharp![k]! * scale - power)).toBeLessThan(tolerance * loudest)
    })
  }
})

describe('a stem that is not what was predicted is told', () => {
  const toneWith = (differenceDb: number): BlendTone =>
    ({
      blend: 'bass',
      group: 'upright',
      check: toneCheck([100, 125], [1, 1e-6], [10 ** (differenceDb / 10), 1e-5], [0, 0]),
    }) as unknown as BlendTone

  test('beyond 0.1 dB in a judged band, with the band and the direction', () => {
    const [warning, ...rest] = toneWarnings([toneWith(0.05), toneWith(-0.25)])
    expect(rest).toEqual([])
    expect(warning).toMatchObject({ code: 'PREDICTION_DIFFERS', group: 'upright', source: null })
    expect(warning?.message).toContain('blend bass has 0.25 dB less at 100 Hz')
  })

  test('not for bands that are not judged, nor without a check', () => {
    expect(toneWarnings([toneWith(0.09), { ...toneWith(1), check: null }])).toEqual([])
  })
})
