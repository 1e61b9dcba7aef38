import type { SpectraPlan } from '../spectra/segment-spectra.js'
import type { BlockTrack } from '../spectra/track-bands.js'
import type { GatheredSpectra } from './gather.js'

/** What is kept of pairs that were summed apart: nothing of the single traces, which would be there once for each lot. */
export interface CrossSums extends Pick<GatheredSpectra, 'foldCross' | 'edgeCross' | 'votes'> {
  readonly plan: Pick<SpectraPlan, 'pairs'>
}

/** Of pairs that are not followed over time only some, by themselves. */
export const onlyPairs = (
  { plan: { pairs }, foldCross, edgeCross, votes }: GatheredSpectra,
  isWanted: (pair: readonly [number, number]) => boolean,
): CrossSums => {
  const wanted = pairs.flatMap((pair, p) => (isWanted(pair) ? [p] : []))
  const some = <Item>(items: readonly Item[]): Item[] => wanted.map(p => items[p]!)
  return {
    plan: { pairs: some(pairs) },
    foldCross: some(foldCross),
    edgeCross: some(edgeCross),
    votes: some(votes),
  }
}

/** Pairs that were summed apart, over the same frames, behind those of the first. */
export const joinedPairs = (gathered: GatheredSpectra, more: readonly CrossSums[]): GatheredSpectra => {
  const all = [gathered, ...more]
  return {
    ...gathered,
    plan: { ...gathered.plan, pairs: all.flatMap(({ plan }) => plan.pairs) },
    foldCross: all.flatMap(({ foldCross }) => foldCross),
    edgeCross: all.flatMap(({ edgeCross }) => edgeCross),
    votes: all.flatMap(({ votes }) => votes),
  }
}

/** The same where pairs were summed in lots, each with the traces that are in it. */
export const joinedLots = (lots: readonly GatheredSpectra[]): GatheredSpectra => {
  const [first, ...more] = lots
  if (first === undefined) throw new Error('no pairs were summed')
  if (more.length === 0) return first
  const lotOf = first.plan.traces.map(
    (_, t) => lots.find(({ plan }) => plan.pairs.some(pair => pair.includes(t))) ?? first,
  )
  const joined = joinedPairs(first, more)
  let pairsBefore = 0
  const tracked = lots.flatMap(({ plan }) => {
    const places = plan.tracked.map(index => pairsBefore + index)
    pairsBefore += plan.pairs.length
    return places
  })
  return {
    ...joined,
    plan: { ...joined.plan, tracked },
    blocks: joinedBlocks(lots),
    autos: lotOf.map(({ autos }, t) => autos[t]!),
    edgeAutos: lotOf.map(({ edgeAutos }, t) => edgeAutos[t]!),
    edgeVoted: lotOf.map(({ edgeVoted }, t) => edgeVoted[t]!),
    voted: lotOf.map(({ voted }, t) => voted[t]!),
    levels: lotOf.map(({ levels }, t) => levels[t]!),
  }
}

// A block in which no trace of a lot sounds is missing there: its pairs count no frames.
const joinedBlocks = (lots: readonly GatheredSpectra[]): BlockTrack[] => {
  const byTime = lots.map(({ blocks }) => new Map(blocks.map(block => [block.atSeconds, block])))
  const times = [...new Set(byTime.flatMap(blocks => [...blocks.keys()]))].sort((a, b) => a - b)
  const none = new Float32Array(0)
  return times.map(atSeconds => {
    const parts = byTime.map((blocks, lot): Omit<BlockTrack, 'atSeconds'> => {
      const { tracked } = lots[lot]!.plan
      return (
        blocks.get(atSeconds) ?? {
          frames: tracked.map(() => 0),
          pairs: tracked.map(() => ({ first: none, second: none, cross: none })),
          peaks: tracked.map(() => []),
        }
      )
    })
    return {
      atSeconds,
      frames: parts.flatMap(({ frames }) => frames),
      pairs: parts.flatMap(({ pairs }) => pairs),
      peaks: parts.flatMap(({ peaks }) => peaks),
    }
  })
}
