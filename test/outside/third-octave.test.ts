import { describe, expect, it } from 'vitest'
import { seededRandom } from '../../src/signal/random.js'
import { ThirdOctaveMeter, thirdOctaves } from '../../src/signal/third-octave.js'
import { noted } from '../evidence.js'

// IEC 61260-1 (from memory), base-10 system: mid-bands 1000 * 10^(n/10), edges a factor 10^(1/20) either side.
describe('IEC 61260-1, mid-bands and edges', () => {
  it.each([
    ['25', 25.1189, 22.3872, 28.1838],
    ['63', 63.0957, 56.2341, 70.7946],
    ['100', 100, 89.1251, 112.2018],
    ['125', 125.8925, 112.2018, 141.2538],
    ['1k', 1000, 891.2509, 1122.0185],
    ['16k', 15848.9319, 14125.3754, 17782.7941],
    ['20k', 19952.6231, 17782.7941, 22387.2114],
  ])('band %s', (_, mid, low, high) => {
    const band = thirdOctaves(48000).find(({ midHz }) => Math.abs(midHz - mid) < mid * 0.01)!
    expect(band.midHz).toBeCloseTo(mid, 3)
    expect(band.lowHz).toBeCloseTo(low, 3)
    expect(band.highHz).toBeCloseTo(high, 3)
  })

  it('has thirty bands, each from where the one before ends', () => {
    const bands = thirdOctaves(96000)
    expect(bands).toHaveLength(30)
    bands.slice(1).forEach((band, index) => {
      expect(band.lowHz / bands[index]!.highHz).toBeCloseTo(1, 12)
    })
  })
})

// IEC 61260-1, class 1, least attenuation outside the band and limits inside (from memory), dB, at these factors of mid-band.
describe('IEC 61260-1, class 1', () => {
  const outside = [
    [1.29437, 16.6],
    [1.88173, 40.5],
    [3.05365, 60],
    [5.39195, 70],
  ] as const

  it.each([44100, 48000, 96000, 192000])('every band at %i Hz', rate => {
    const meter = new ThirdOctaveMeter(rate)
    let compared = 0
    meter.bands.forEach(({ midHz, lowHz, highHz }, b) => {
      const attenuation = (hz: number): number => -10 * Math.log10(meter.bandPowerResponse(b, hz))
      for (const [factor, least] of outside) {
        expect(attenuation(midHz / factor)).toBeGreaterThanOrEqual(least)
        if (midHz * factor < rate / 2) expect(attenuation(midHz * factor)).toBeGreaterThanOrEqual(least)
        compared++
        noted('third-octave-class-1')
      }
      expect(Math.abs(attenuation(midHz))).toBeLessThan(0.4)
      for (const edge of [lowHz, highHz]) expect(attenuation(edge)).toBeCloseTo(3.01, 2)
    })
    expect(compared).toBe(4 * meter.bands.length)
  })
})

describe('noise of known density', () => {
  it('reads every band as its own response says, steep spectrum included', () => {
    // A sum of sines on a grid of 1/20 s, random phases, falling by 9 dB per octave: periodic, so that the power in each band is
    // exact: sum of amplitude^2 / 2 * response. Three seconds settle; four are measured, a whole number of frames at every rate.
    const rate = 48000
    const period = rate / 5
    const random = seededRandom('steep')
    const wave = new Float64Array(period)
    const amplitudes = new Float64Array(period / 2)
    for (let k = 4; k < period / 2; k += k < 400 ? 1 : 17) {
      const amplitude = 1 / (k * Math.sqrt(k))
      amplitudes[k] = amplitude
      const phase = 2 * Math.PI * random()
      for (let n = 0; n < period; n++) {
        wave[n] = wave[n]! + amplitude * Math.cos((2 * Math.PI * ((k * n) % period)) / period + phase)
      }
    }
    const meter = new ThirdOctaveMeter(rate)
    for (let p = 0; p < 15; p++) meter.push(wave)
    const before = meter.meanSquares().map(value => value * 15)
    for (let p = 0; p < 20; p++) meter.push(wave)
    const found = meter.meanSquares().map((value, b) => (value * 35 - before[b]!) / 20)
    const expected = found.map((_, b) => {
      let power = 0
      amplitudes.forEach((amplitude, k) => {
        if (amplitude > 0)
          power += (amplitude * amplitude * meter.bandPowerResponse(b, (k * rate) / period)) / 2
      })
      return power
    })
    const loudest = Math.max(...expected)
    let within = 0
    expected.forEach((power, b) => {
      const error = Math.abs(10 * Math.log10(found[b]! / power))
      if (power > loudest * 1e-4) {
        within++
        expect(error).toBeLessThan(0.02)
      } else expect(error).toBeLessThan(0.1)
    })
    expect(within).toBeGreaterThan(10)
  })
})
