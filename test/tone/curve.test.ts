import { describe, expect, test } from 'vitest'
import { curveEnergies, curvePoints, hzOfPoint, toneCurve } from '../../src/tone/predict/curve.js'
import { DEEPEST_DB, lossDb } from '../../src/tone/predict/loss.js'
import { toneBins } from '../../src/tone/predict/tone-bins.js'
import { broadbandChangeDb, wideBandChanges } from '../../src/tone/predict/wide-bands.js'
import { spectralGrid } from '../../src/tone/spectra/resolution.js'
import { binsAt } from './setting/spectra.js'

const grid = spectralGrid(48000)
const bins = toneBins(grid)
const density = (value: (hz: number) => number): Float64Array => Float64Array.from(bins.frequenciesHz, value)

describe('bins of two resolutions', () => {
  test('together they cover the axis once, from 0 Hz to half the rate', () => {
    const total = bins.widthsHz.reduce((a, b) => a + b, 0)
    expect(total).toBeCloseTo(24000, 0)
    const inCrossover = bins.widthsHz.filter(
      (_, k) => bins.frequenciesHz[k]! > 400 && bins.frequenciesHz[k]! < 600,
    )
    expect(inCrossover.reduce((a, b) => a + b, 0)).toBeCloseTo(200, -0.5)
  })
})

describe('curves', () => {
  test('48 kHz: 24 points per octave from 25 Hz to 20 kHz, 440 Hz and all semitones among them', () => {
    const { first, count } = curvePoints(48000)
    const all = Array.from({ length: count }, (_, i) => hzOfPoint(first + i))
    expect(all[0]).toBeGreaterThanOrEqual(25)
    expect(all[0]).toBeLessThan(25.8)
    expect(all.at(-1)).toBeLessThanOrEqual(20000)
    expect(all.at(-1)).toBeGreaterThan(19400)
    expect(all.some(hz => hz === 440)).toBe(true)
    expect(all.some(hz => Math.abs(hz - 41.2034) < 0.0001)).toBe(true)
  })

  test('at 8 kHz they end under 0.45 of the rate', () => {
    const { first, count } = curvePoints(8000)
    expect(hzOfPoint(first + count - 1)).toBeLessThanOrEqual(3600)
  })

  test('a density that falls as 1/f stands level, but for the coarseness of bins at the bottom', () => {
    const blend = { power: density(hz => 1 / Math.max(1, hz)), inPhase: density(hz => 1 / Math.max(1, hz)) }
    const energies = curveEnergies(blend, bins, 48000)
    const { levelDb, lossDb: losses } = toneCurve(energies, energies, Math.max(...energies.power))
    levelDb.forEach((level, i) => {
      expect(level).not.toBeNull()
      expect(level!).toBeGreaterThan(energies.frequenciesHz[i]! < 100 ? -1.6 : -0.9)
      expect(losses[i]).toBe(0)
    })
  })

  test('smoothing is by power: a loss in every second bin of white sound comes to the mean of powers, not of dB', () => {
    let n = 0
    const power = density(() => (n++ % 2 === 0 ? 1 : 0))
    const blend = { power, inPhase: density(() => 1) }
    const energies = curveEnergies(blend, bins, 48000)
    const { lossDb: losses } = toneCurve(energies, energies, Math.max(...energies.inPhase))
    const high = losses.filter((_, i) => energies.frequenciesHz[i]! > 2000)
    expect(high.length).toBeGreaterThan(70)
    for (const loss of high) expect(loss).toBeCloseTo(3.0103, 1)
  })

  test('where 60 dB less could sound than at the loudest, nothing was played', () => {
    const blend = {
      power: density(hz => (hz > 1000 ? 1e-9 : 1)),
      inPhase: density(hz => (hz > 1000 ? 1e-9 : 1)),
    }
    const energies = curveEnergies(blend, bins, 48000)
    const { levelDb, lossDb: losses } = toneCurve(energies, energies, Math.max(...energies.power))
    energies.frequenciesHz.forEach((hz, i) => {
      if (hz > 1100) expect([levelDb[i], losses[i]]).toEqual([null, null])
      if (hz > 500 && hz < 950) expect(losses[i]).toBe(0)
    })
  })

  test('silence has no curve at all', () => {
    const silent = { power: density(() => 0), inPhase: density(() => 0) }
    const energies = curveEnergies(silent, bins, 48000)
    const curve = toneCurve(energies, energies, 0)
    expect(new Set([...curve.lossDb, ...curve.levelDb])).toEqual(new Set([null]))
  })
})

describe('loss', () => {
  test('0 where nothing is lost, never below, at most the deepest that is told, null for silence', () => {
    expect(lossDb(1, 1)).toBe(0)
    expect(lossDb(1.0000001, 1)).toBe(0)
    expect(lossDb(-1e-18, 1)).toBe(DEEPEST_DB)
    expect(lossDb(0, 0)).toBeNull()
    expect(lossDb(0.5, 1)).toBeCloseTo(3.0103, 4)
  })
})

describe('wide bands', () => {
  const band = binsAt(
    Array.from({ length: 2400 }, (_, k) => 5 + 10 * k),
    10,
  )
  const flat = new Float64Array(2400).fill(1)

  test('powers add: half of the bins gone are -3.01 dB, whatever is lost in each', () => {
    const half = flat.map((_, k) => k % 2)
    expect(broadbandChangeDb(flat, half, band)).toBeCloseTo(-3.0103, 3)
  })

  test('only the band that changes is told to change; an empty band has no change', () => {
    const after = flat.map((_, k) =>
      band.frequenciesHz[k]! < 250 ? 2 : band.frequenciesHz[k]! > 6000 ? 0 : 1,
    )
    const changes = wideBandChanges(flat, after, band)
    expect(
      changes.map(({ name, changeDb }) => [
        name,
        changeDb === null ? null : Math.round(changeDb * 100) / 100,
      ]),
    ).toEqual([
      ['sub', 3.01],
      ['low end', 3.01],
      ['low mids', 0],
      ['mids', 0],
      ['presence', 0],
      ['top', null],
    ])
  })

  test('silence before or after has no change', () => {
    const none = new Float64Array(2400)
    expect(broadbandChangeDb(none, flat, band)).toBeNull()
    expect(wideBandChanges(flat, none, band).every(({ changeDb }) => changeDb === null)).toBe(true)
  })
})
