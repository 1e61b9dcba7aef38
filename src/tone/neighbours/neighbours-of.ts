import { thirdOctaves } from '../../signal/third-octave.js'
import { log10 } from '../../terms/portable.js'
import { addBlocks, heardBands, isBleeding, keptShared, lostDb, pairLossDb, TOLD_DB } from './find-losses.js'
import { blockFrames, windowFrames } from './neighbour-input.js'
import { type NeighbourBlock, type NeighbourEnergies, pairsAmong } from './neighbour-sums.js'
import type { NeighbourBand, NeighbourLoss, Neighbours } from './neighbours.js'
import type { Voices } from './voices.js'

/** Shortest piece of time that is looked at by itself, seconds. */
const LEAST_PIECE_SECONDS = 6
/** Hann windows half apart hold 3/8 of the squares twice: what a sum of |X|^2 has more than the energy, times the size. */
const WINDOW_GAIN = 0.75

export interface SongTime {
  readonly sampleRateHz: number
  readonly frames: number
  /** Length of a bar; null without a tempo. */
  readonly barSeconds: number | null
}

interface Piece {
  readonly before: NeighbourEnergies
  readonly after: NeighbourEnergies
  readonly fromSeconds: number
  readonly toSeconds: number
  readonly bars: readonly [number, number] | null
}

/** Length of a piece of time: whole bars where there is a tempo, 1, 2, 4, … of them. */
const pieceSeconds = (barSeconds: number | null): number => {
  if (barSeconds === null) return LEAST_PIECE_SECONDS
  let seconds = barSeconds
  while (seconds < LEAST_PIECE_SECONDS) seconds *= 2
  return seconds
}

/** Blocks gathered into pieces of time; a block belongs where its middle lies. */
const piecesOf = (blocks: readonly NeighbourBlock[], time: SongTime): readonly Piece[] => {
  const length = pieceSeconds(time.barSeconds)
  const bar = time.barSeconds
  const perBlock = blockFrames(time.sampleRateHz) / time.sampleRateHz
  const end = time.frames / time.sampleRateHz
  const gathered = new Map<number, NeighbourBlock[]>()
  blocks.forEach((block, b) => {
    const piece = Math.floor(((b + 0.5) * perBlock) / length)
    gathered.set(piece, [...(gathered.get(piece) ?? []), block])
  })
  return [...gathered].map(([piece, own]) => {
    const fromSeconds = piece * length
    const toSeconds = Math.min(end, fromSeconds + length)
    return {
      before: addBlocks(own, 'before'),
      after: addBlocks(own, 'after'),
      fromSeconds,
      toSeconds,
      bars:
        bar === null
          ? null
          : [Math.round(fromSeconds / bar) + 1, Math.max(1, Math.ceil(toSeconds / bar - 1e-6))],
    }
  })
}

/** Pieces one after the other that lose more than is told, as one loss each. */
const runsOf = (
  pieces: readonly Piece[],
  groups: readonly [string, string],
  centreHz: number,
  lossIn: (piece: Piece) => number | null,
): readonly NeighbourLoss[] => {
  const runs: NeighbourLoss[] = []
  let goesOn = false
  for (const piece of pieces) {
    const lossDb = lossIn(piece)
    const loses = lossDb !== null && lossDb > TOLD_DB
    if (loses) {
      const former = goesOn ? runs.pop() : undefined
      runs.push({
        groups,
        centreHz,
        lossDb: Math.max(lossDb, former?.lossDb ?? 0),
        fromSeconds: former?.fromSeconds ?? piece.fromSeconds,
        toSeconds: piece.toSeconds,
        fromBar: former?.fromBar ?? piece.bars?.[0] ?? null,
        toBar: piece.bars?.[1] ?? null,
      })
    }
    goesOn = loses
  }
  return runs
}

const bandsOf = (
  whole: { readonly before: NeighbourEnergies; readonly after: NeighbourEnergies },
  heard: readonly boolean[],
  { sampleRateHz, frames }: SongTime,
): readonly NeighbourBand[] => {
  const pairs = pairsAmong(whole.after.own.length)
  const scale = 2 / (WINDOW_GAIN * windowFrames(sampleRateHz) * frames)
  const levelDb = (energy: number): number | null => (energy > 0 ? 10 * log10(energy * scale) : null)
  return thirdOctaves(sampleRateHz).map(({ midHz }, band) => {
    const own = (time: NeighbourEnergies): number => time.own.reduce((sum, e) => sum + e[band]!, 0)
    const shared = (time: NeighbourEnergies): number => time.shared.reduce((sum, e) => sum + e[band]!, 0)
    const sum = (time: NeighbourEnergies): number => own(time) + 2 * shared(time)
    const kept = pairs.reduce(
      (total, groups, pair) => total + keptShared(whole.before, whole.after, pair, groups, band),
      0,
    )
    return {
      centreHz: midHz,
      beforeDb: levelDb(sum(whole.before)),
      afterDb: levelDb(sum(whole.after)),
      lossDb: heard[band] === true ? lostDb(own(whole.after) + 2 * kept, sum(whole.after)) : null,
    }
  })
}

/** What the groups do to each other, from all blocks of a song in their order. */
export const neighboursOf = (
  { voices, otherRates }: Voices,
  blocks: readonly NeighbourBlock[],
  time: SongTime,
): Neighbours => {
  const whole = { before: addBlocks(blocks, 'before'), after: addBlocks(blocks, 'after') }
  const heard = heardBands(whole.after)
  const pieces = piecesOf(blocks, time)
  const losses = pairsAmong(voices.length).flatMap((groups, pair) =>
    thirdOctaves(time.sampleRateHz).flatMap(({ midHz }, band) =>
      heard[band] === true && isBleeding(blocks, pair, groups, band)
        ? runsOf(pieces, [voices[groups[0]]!.group, voices[groups[1]]!.group], midHz, piece =>
            isHeard(piece.after, whole.after, groups, band)
              ? pairLossDb(piece.before, piece.after, pair, groups, band)
              : null,
          )
        : [],
    ),
  )
  return {
    voices: voices.map(({ group, stems }) => ({ group, stems: stems.map(({ name }) => name) })),
    otherRates,
    thirdOctaves: bandsOf(whole, heard, time),
    losses: [...losses].sort((a, b) => b.lossDb - a.lossDb),
  }

  /** Pieces in which the two are 40 dB below all that sounds in that band are not told of. */
  function isHeard(
    piece: NeighbourEnergies,
    song: NeighbourEnergies,
    [g, h]: readonly [number, number],
    band: number,
  ): boolean {
    const share = pieces.length * (piece.own[g]![band]! + piece.own[h]![band]!)
    return share > 1e-4 * song.own.reduce((sum, own) => sum + own[band]!, 0)
  }
}
