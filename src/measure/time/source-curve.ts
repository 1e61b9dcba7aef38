import type { GatheredSpectra } from '../group/gather.js'
import { independentShare } from '../spectra/frame-grid.js'
import { TrackBands } from '../spectra/track-bands.js'
import { bandPhases, joinedPhases } from './band-phases.js'
import { type LagCurve, lagCurve } from './lag-curve.js'

/** Reach of the comparison of one block with the whole, seconds: a stand that is moved further shows as a search of its own. */
const REACH_SECONDS = 0.002

/**
 * The lag of one tracked pair over the take, against `lagSamples` (what is left after the whole-frame shift). Null where too
 * few blocks can be compared.
 */
export const sourceCurve = (gathered: GatheredSpectra, pair: number, lagSamples: number): LagCurve | null => {
  const { grid, tracked } = gathered.plan
  const place = tracked.indexOf(pair)
  if (place < 0) return null
  const bands = new TrackBands(grid)
  const omegas = Float64Array.from(bands.centresHz, hz => (2 * Math.PI * hz) / grid.sampleRateHz)
  const share = independentShare(grid.hopsPerWindow)
  const timed = gathered.blocks.flatMap(block => {
    const frames = block.frames[place]!
    if (frames === 0) return []
    const phases = bandPhases(block.pairs[place]!, bands.edges, Math.max(1, frames * share))
    return [{ atSeconds: block.atSeconds, phases: joinedPhases([phases], [lagSamples], omegas) }]
  })
  return lagCurve(timed, omegas, REACH_SECONDS * grid.sampleRateHz)
}
