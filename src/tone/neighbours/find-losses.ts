import { log10 } from '../../terms/portable.js'
import type { NeighbourBlock, NeighbourEnergies } from './neighbour-sums.js'

/** From here on a loss is told, dB. */
export const TOLD_DB = 1
/** Third octaves further below the loudest of the song do not count, dB. */
const HEARD_DB = 40
/** A change that is no more than so many of its own standard errors, taken over the blocks of the song, is chance: two groups that play the same notes. */
const BEYOND_CHANCE = 4
/** Fewer blocks in which both sound say nothing about chance. */
const LEAST_BLOCKS = 4

/** The sum of several blocks. */
export const addBlocks = (blocks: readonly NeighbourBlock[], time: 'before' | 'after'): NeighbourEnergies => {
  const first = blocks[0]![time]
  const total = { own: first.own.map(e => e.slice()), shared: first.shared.map(e => e.slice()) }
  for (const block of blocks.slice(1)) {
    block[time].own.forEach((energies, g) => {
      addInto(total.own[g]!, energies)
    })
    block[time].shared.forEach((energies, p) => {
      addInto(total.shared[p]!, energies)
    })
  }
  return total
}

const addInto = (total: Float64Array, more: Float64Array): void => {
  for (let k = 0; k < total.length; k++) total[k] = total[k]! + more[k]!
}

/** What a pair would share as delivered, had nothing changed between the groups but their levels. */
export const keptShared = (
  before: NeighbourEnergies,
  after: NeighbourEnergies,
  pair: number,
  [g, h]: readonly [number, number],
  band: number,
): number => {
  const recorded = before.own[g]![band]! * before.own[h]![band]!
  const delivered = after.own[g]![band]! * after.own[h]![band]!
  return recorded > 0 ? before.shared[pair]![band]! * Math.sqrt(delivered / recorded) : 0
}

/** By how much energies fell, dB; null where nothing was there. Deeper than 60 dB is told as that. */
export const lostDb = (kept: number, left: number): number | null =>
  kept > 0 ? 10 * log10(kept / Math.max(left, 1e-6 * kept)) : null

/** Loss of two groups in one third octave, by themselves, dB; null where neither sounds. */
export const pairLossDb = (
  before: NeighbourEnergies,
  after: NeighbourEnergies,
  pair: number,
  groups: readonly [number, number],
  band: number,
): number | null => {
  const own = after.own[groups[0]]![band]! + after.own[groups[1]]![band]!
  const kept = own + 2 * keptShared(before, after, pair, groups, band)
  return lostDb(kept, own + 2 * after.shared[pair]![band]!)
}

/** Third octaves that are heard: within 40 dB of the loudest of the song, as delivered. */
export const heardBands = (whole: NeighbourEnergies): readonly boolean[] => {
  const bands = Array.from(whole.own[0]!, (_, band) => whole.own.reduce((sum, own) => sum + own[band]!, 0))
  const loudest = Math.max(...bands)
  return bands.map(energy => energy > 0 && 10 * log10(loudest / energy) <= HEARD_DB)
}

/**
 * Whether what a pair shares in a third octave changed the same way all through the song: the mean over blocks of time of what is missing
 * stands clear of what its scatter would give by chance. Bleeding does; two players on one note do not.
 */
export const isBleeding = (
  blocks: readonly NeighbourBlock[],
  pair: number,
  groups: readonly [number, number],
  band: number,
): boolean => {
  const missing = blocks
    .filter(({ after }) => after.own[groups[0]]![band]! > 0 && after.own[groups[1]]![band]! > 0)
    .map(({ before, after }) => keptShared(before, after, pair, groups, band) - after.shared[pair]![band]!)
  if (missing.length < LEAST_BLOCKS) return false
  const mean = missing.reduce((sum, value) => sum + value, 0) / missing.length
  const square = missing.reduce((sum, value) => sum + (value - mean) * (value - mean), 0)
  const error = Math.sqrt(square / (missing.length - 1) / missing.length)
  return mean > BEYOND_CHANCE * error
}
