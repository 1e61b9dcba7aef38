import { describe, expect, it } from 'vitest'
import { BandPair } from '../../src/signal/band-filter.js'
import { ThirdOctaveMeter, thirdOctaves } from '../../src/signal/third-octave.js'
import { cuts, noise, sine } from './signals.js'

const BANDS = [
  { lowHz: 4000, highHz: 6000 },
  { lowHz: 9000, highHz: 11000 },
] as const

describe('BandPair', () => {
  it('has the energy responses that it tells', () => {
    const impulse = new Float64Array(6000)
    impulse[0] = 1
    const filter = new BandPair([...BANDS], 48000)
    filter.push(impulse, 6000)
    BANDS.forEach(({ lowHz, highHz }, b) => {
      const band = b as 0 | 1
      // Parseval: energy of the answer = mean of |H|^2 over the circle.
      let mean = 0
      const points = 20_000
      for (let k = 0; k < points; k++)
        mean += filter.powerResponse(band, ((k + 0.5) / points) * 24000) / points
      expect(filter.energy(band) / mean).toBeCloseTo(1, 9)
      expect([lowHz, highHz].map(hz => filter.powerResponse(band, hz))).toEqual([
        expect.closeTo(0.5, 12),
        expect.closeTo(0.5, 12),
      ])
    })
  })

  it.each([
    [0, 4000],
    [0, 4700],
    [0, 3500],
    [1, 6100],
    [1, 10900],
  ] as const)('passes a long sine as told, band %i at %i Hz', (band, frequency) => {
    const filter = new BandPair([...BANDS], 48000)
    filter.push(sine(frequency, 48000, 4800), 4800) // settle
    const settled = filter.energy(band)
    for (const { start, end } of cuts('sine', 48000, 999)) {
      filter.push(sine(frequency, 48000, end - start, { start: start + 4800 }), end - start)
    }
    expect((filter.energy(band) - settled) / 24000 / filter.powerResponse(band, frequency)).toBeCloseTo(1, 6)
  })

  it('has no state left over from silence; one band alone is the same in both places', () => {
    const filter = new BandPair([BANDS[0]], 48000)
    filter.push(noise('then silence', 500), 500)
    filter.push(new Float64Array(100_000), 100_000)
    const energy = filter.energy(0)
    filter.push(new Float64Array(100_000), 100_000)
    expect(energy).toBeGreaterThan(0)
    expect(filter.energy(0)).toBe(energy)
    expect(filter.energy(1)).toBe(energy)
  })
})

describe('ThirdOctaveMeter', () => {
  it('has bands as far as the rate reaches', () => {
    const top = (rate: number): number => Math.round(thirdOctaves(rate).at(-1)!.midHz)
    expect([8000, 16000, 32000, 44100, 48000, 96000].map(top)).toEqual([
      3162, 6310, 12589, 15849, 19953, 19953,
    ])
    expect(thirdOctaves(48000)[0]!.midHz).toBeCloseTo(25.1189, 4)
  })

  it('does not depend on block sizes', () => {
    const samples = noise('bands', 30_000)
    const whole = new ThirdOctaveMeter(48000)
    whole.push(samples)
    whole.finish()
    const pieces = new ThirdOctaveMeter(48000)
    for (const { start, end } of cuts('bands', 30_000, 2000)) pieces.push(samples.subarray(start, end))
    pieces.finish()
    const [a, b] = [whole.meanSquares(), pieces.meanSquares()]
    a.forEach((value, band) => {
      expect(b[band]! / value).toBeCloseTo(1, 12)
    })
    expect(a.length).toBe(30)
  })

  it.each([44100, 48000, 96000])(
    'agrees with its own response for an impulse at %i Hz, band by band',
    rate => {
      // An impulse has power 1 at every frequency, so the band's energy is the mean of its response. The signal's own transform is
      // flat; nothing here needs one. What folds down in halving adds in amplitude for one impulse, by less than the tolerance.
      const meter = new ThirdOctaveMeter(rate)
      const impulse = new Float64Array(64)
      impulse[10] = 1
      meter.push(impulse)
      meter.finish()
      meter.bands.forEach((band, b) => {
        // Around the band finely, elsewhere not needed: outside two octaves it passes 1e-6.
        const from = band.midHz / 8
        const to = Math.min(rate / 2, band.midHz * 8)
        const points = 4000
        let energy = 0
        for (let k = 0; k < points; k++) {
          energy +=
            (meter.bandPowerResponse(b, from + ((k + 0.5) / points) * (to - from)) * (to - from)) / points
        }
        const expected = energy / (rate / 2)
        expect(10 * Math.log10((meter.meanSquares()[b]! * 64) / expected)).toBeCloseTo(0, 2)
      })
    },
  )

  it('reads a full-scale sine in mid-band as half, and 0 before any frame', () => {
    const meter = new ThirdOctaveMeter(48000)
    expect(meter.meanSquares().every(value => value === 0)).toBe(true)
    meter.push(sine(1000, 48000, 96000))
    meter.finish()
    const band = meter.bands.findIndex(({ midHz }) => Math.round(midHz) === 1000)
    expect(meter.meanSquares()[band]).toBeCloseTo(0.5, 3)
  })
})
