import { dbFromPower } from '../../terms/units.js'
import type { BlendTone } from '../tone.js'
import type { ToneBins } from './tone-bins.js'

/** Bands wide enough to be told in words. The names are those of the desk; the edges are ours. */
const WIDE_BANDS = [
  { name: 'sub', fromHz: 25, toHz: 60 },
  { name: 'low end', fromHz: 60, toHz: 250 },
  { name: 'low mids', fromHz: 250, toHz: 800 },
  { name: 'mids', fromHz: 800, toHz: 2500 },
  { name: 'presence', fromHz: 2500, toHz: 6000 },
  { name: 'top', fromHz: 6000, toHz: 16000 },
] as const

/** Bands that hold less than this of the energy are not told: -40 dB. */
const SILENT_SHARE = 1e-4

const energyBetween = (density: Float64Array, bins: ToneBins, fromHz: number, toHz: number): number => {
  let energy = 0
  for (let k = 0; k < density.length; k++) {
    const hz = bins.frequenciesHz[k]!
    if (hz >= fromHz && hz < toHz) energy += bins.widthsHz[k]! * density[k]!
  }
  return energy
}

const changeOf = (before: number, after: number, least: number): number | null =>
  before > 0 && after > 0 && Math.max(before, after) >= least ? dbFromPower(after / before) : null

/** Level change of the whole, dB; null where one of the two is silent. */
export const broadbandChangeDb = (before: Float64Array, after: Float64Array, bins: ToneBins): number | null =>
  changeOf(
    energyBetween(before, bins, 0, Number.POSITIVE_INFINITY),
    energyBetween(after, bins, 0, Number.POSITIVE_INFINITY),
    0,
  )

/** Level change by wide bands, dB; null where a band holds next to nothing. Bands beyond half the rate are left out. */
export const wideBandChanges = (
  before: Float64Array,
  after: Float64Array,
  bins: ToneBins,
): BlendTone['bands'] => {
  const half = bins.frequenciesHz.at(-1) ?? 0
  const least = SILENT_SHARE * energyBetween(after, bins, 0, Number.POSITIVE_INFINITY)
  return WIDE_BANDS.filter(({ fromHz }) => fromHz < half).map(({ name, fromHz, toHz }) => ({
    name,
    fromHz,
    toHz,
    changeDb: changeOf(
      energyBetween(before, bins, fromHz, toHz),
      energyBetween(after, bins, fromHz, toHz),
      least,
    ),
  }))
}
