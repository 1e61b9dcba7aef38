import { describe, expect, it } from 'vitest'
import { cellPower } from '../../src/report/desk/cell-power.js'
import type { DeskStrip } from '../../src/report/desk/desk.js'
import { AT_REST, setLeaves, summedParts } from '../../src/report/desk/faders.js'
import { lagMap } from '../../src/report/desk/lag-map.js'
import { openedSpectra } from '../../src/report/desk/opened-spectra.js'
import { sourceLevels } from '../../src/report/desk/source-levels.js'
import { bytesOfArraysMadeBy } from '../counted-arrays.js'
import { inventedDesk } from './lantern-street/desk.js'
import { RATE } from './lantern-street/sources.js'

const spectra = openedSpectra(inventedDesk.spectra)
const [, roomy] = inventedDesk.blends

/** The same by summing the blend anew at one lag. */
const lossAt = (moved: DeskStrip, laterMs: number, turned: boolean): number => {
  const faders = roomy!.strips.map(strip => (strip === moved ? { ...AT_REST, laterMs, turned } : AT_REST))
  const [parts] = summedParts(roomy!, setLeaves(roomy!, faders, RATE, false), RATE)
  const { power, inPhase } = cellPower(parts!, spectra)
  const sum = (values: Float64Array): number => values.reduce((a, b) => a + b, 0)
  return 10 * Math.log10(sum(inPhase) / sum(power))
}

describe('the map of any lag', () => {
  it.each([1, 2])('is what the blend loses with source %i moved to that lag, either way round', s => {
    const strip = roomy!.strips[s]!
    const map = lagMap(spectra, roomy!, strip, RATE, [0])!
    expect(map.deliveredMs).toBeCloseTo((strip.lagSamples! * 1000) / RATE, 9)
    expect(map.lagMs[0]!).toBeLessThan(-1)
    let compared = 0
    map.lagMs.forEach((lag, i) => {
      if (i % 20 !== 0) return
      compared++
      expect(map.asDeliveredDb[i]).toBeCloseTo(lossAt(strip, map.deliveredMs - lag, false), 6)
      expect(map.turnedDb[i]).toBeCloseTo(lossAt(strip, map.deliveredMs - lag, true), 6)
    })
    expect(compared).toBeGreaterThan(10)
    // Flat spectra that share everything: nothing is better than where they were put.
    expect(map.deliveredDb).toBeLessThan(Math.min(...map.turnedDb))
    expect(map.deliveredDb).toBeLessThanOrEqual(Math.min(...map.asDeliveredDb) + 1e-9)
  })

  it('makes a few lists of its cells, not some for every lag', async () => {
    const cells = spectra.bins.frequenciesHz.length
    let points = 0
    const bytes = await bytesOfArraysMadeBy(() => {
      points = lagMap(spectra, roomy!, roomy!.strips[1]!, RATE, [0])!.lagMs.length
    })
    expect(points).toBeGreaterThan(200)
    expect(bytes).toBeGreaterThan(0)
    expect(bytes).toBeLessThan(10 * 8 * cells)
  })

  it('there is none for a source that was moved by no one lag', () => {
    expect(lagMap(spectra, roomy!, roomy!.strips[0]!, RATE, [])).toBeNull()
  })
})

it('the spectra of the sources: each once, under its own loudest point', () => {
  const { frequenciesHz, sources } = sourceLevels(spectra, inventedDesk.blends, RATE)
  expect(sources.map(({ source }) => source)).toEqual(['piezo', 'bridge', 'room'])
  for (const { levelDb } of sources) {
    expect(levelDb).toHaveLength(frequenciesHz.length)
    expect(Math.max(...levelDb)).toBe(0)
    expect(Math.min(...levelDb)).toBeGreaterThanOrEqual(-60)
  }
})
