import { clock } from '../../terms/clock-text.js'
import { fixed } from '../../terms/figure-text.js'
import type { Warning } from '../../terms/warning.js'
import type { NeighbourLoss, Neighbours } from './neighbours.js'

/** "in bars 9–16 (0:21–0:42)", "at 0:21–0:42". */
export const whenLost = ({ fromSeconds, toSeconds, fromBar, toBar }: NeighbourLoss): string => {
  const time = `${clock(fromSeconds)}–${clock(toSeconds)}`
  if (fromBar === null || toBar === null) return `at ${time}`
  return fromBar === toBar ? `in bar ${fromBar} (${time})` : `in bars ${fromBar}–${toBar} (${time})`
}

/** One warning for each pair of groups that loses something, about the worst of its losses. */
export const neighbourWarnings = (neighbours: Neighbours | null): readonly Warning[] => {
  const pairs = new Map<string, NeighbourLoss[]>()
  for (const loss of neighbours?.losses ?? []) {
    const pair = JSON.stringify(loss.groups)
    pairs.set(pair, [...(pairs.get(pair) ?? []), loss])
  }
  return [...pairs.values()].map((losses): Warning => {
    const worst = losses[0]!
    const [one, other] = worst.groups
    const bands = new Set(losses.map(({ centreHz }) => centreHz)).size
    const more = bands > 1 ? ` (${bands} third octaves lose more than 1 dB)` : ''
    return {
      code: 'NEIGHBOUR_LOSS',
      group: one,
      source: null,
      message:
        `Together with ${other} it loses ${fixed(worst.lossDb, 1)} dB around ${Math.round(worst.centreHz)} Hz ${whenLost(worst)}${more}: ` +
        'each group was lined up in itself, and what bleeds from one into the other no longer meets as it was recorded. Listen to both ' +
        'together there; if it disturbs, turn down or leave out the microphone that bleeds, or give that source `lag: as-recorded`.',
    }
  })
}
