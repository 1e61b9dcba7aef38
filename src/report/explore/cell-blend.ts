import type { DeskBlend, DeskLeaf, DeskStrip } from '../desk/desk.js'
import type { Cell, CellPart } from './choices.js'

const alignedLeaf = (leaf: DeskLeaf, strip: DeskStrip, part: CellPart, weight: number): DeskLeaf => ({
  ...leaf,
  gain: leaf.gain * weight * (part.polarity === strip.polarity ? 1 : -1),
})

const recordedLeaf = (leaf: DeskLeaf, part: CellPart, weight: number): DeskLeaf => ({
  ...leaf,
  gain: leaf.recordedGain * weight * (part.polarity === 'inverted' ? -1 : 1),
  atSamples: leaf.recordedAtSamples,
  follow: null,
  laterSamples: leaf.laterSamples - (leaf.atSamples - leaf.recordedAtSamples),
})

/**
 * A cell as a blend that the desk's own modules can make and judge. `equal`: the delivered blend of all sources of the group at equal shares,
 * from which each gain follows: the matching of levels is in it already.
 */
export const blendOfCell = (equal: DeskBlend, { parts, aligned }: Cell): DeskBlend => {
  const all = parts.reduce((sum, { weight }) => sum + weight, 0)
  return {
    ...equal,
    strips: parts.map(part => {
      const strip = equal.strips.find(({ source }) => source === part.source)!
      const weight = (equal.strips.length * part.weight) / all
      return {
        ...strip,
        polarity: part.polarity,
        leaves: strip.leaves.map(leaf =>
          aligned ? alignedLeaf(leaf, strip, part, weight) : recordedLeaf(leaf, part, weight),
        ),
      }
    }),
  }
}
