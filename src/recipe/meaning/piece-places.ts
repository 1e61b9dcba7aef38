import { fieldOf, type Located, type Span } from '../located.js'
import type { WaveFacts } from '../session.js'
import type { MeaningContext } from './context.js'
import { momentAt } from './moment.js'

/** A piece before it is known where it lies. */
export interface UnplacedPiece {
  readonly fileAt: Span
  readonly node: Located
  readonly shown: string
  readonly facts: WaveFacts
  readonly fromFrame: number
}

export interface PiecePlaces {
  /** Where the first used frame of each lies, counted from frame 0 of what is laid from them. */
  readonly atFrames: readonly number[]
  /** Time stamp of that frame 0; null where no piece tells. */
  readonly stampSamples: number | null
}

/** No song is longer, seconds: a day. */
const LONGEST_SECONDS = 86400

/**
 * Where pieces lie. By `at:`, which counts from the start of the song; else by their time stamps, once one piece ties those to the
 * song; where no piece has an `at:`, by the stamps alone, and the earliest begins the recording. A first piece without either begins
 * the song. Reports pieces whose place nothing tells. Null where there is one.
 */
export const piecePlaces = (
  pieces: readonly UnplacedPiece[],
  { faults }: MeaningContext,
): PiecePlaces | null => {
  const stated = pieces.map(({ node, facts }) => momentAt(fieldOf(node, 'at'), facts.sampleRateHz))
  const stamps = pieces.map(({ facts, fromFrame }) =>
    facts.stampSamples === null ? null : facts.stampSamples + fromFrame,
  )
  const byStamps = stated.every(at => at === null) && stamps.every(stamp => stamp !== null)
  const known = byStamps ? stated : stated.map((at, i) => (i === 0 ? (at ?? 0) : at))
  const anchors = known.flatMap((at, i) => (at === null || stamps[i] == null ? [] : [stamps[i] - at]))
  const start = byStamps ? Math.min(...stamps) : (anchors[0] ?? null)
  const atFrames = pieces.flatMap((piece, i): readonly number[] => {
    const stamp = stamps[i] ?? null
    const at = known[i] ?? (stamp === null || start === null ? null : stamp - start)
    if (at !== null && isInSong(at, piece)) return [at]
    if (isTold(piece.node, faults)) return []
    const { message, detail } = at === null ? unplaced(piece) : outside(piece)
    faults.add('RECIPE_PIECES', message, (fieldOf(piece.node, 'at') ?? { at: piece.fileAt }).at, detail)
    return []
  })
  if (atFrames.length < pieces.length) return null
  return { atFrames, stampSamples: start !== null && start >= 0 ? start : null }
}

/** Something of the piece was reported already: what seems to be missing may be that. */
const isTold = (node: Located, faults: MeaningContext['faults']): boolean =>
  node.kind === 'map' &&
  [...node.entries.values()].some(({ keyAt, value }) => faults.toldAt(keyAt) || faults.toldAt(value.at))

const isInSong = (atFrame: number, { facts }: UnplacedPiece): boolean =>
  atFrame >= 0 && atFrame <= LONGEST_SECONDS * facts.sampleRateHz

const unplaced = ({ shown }: UnplacedPiece) => ({
  message: `nothing tells where ${shown} lies in the song`,
  detail: {
    expected: 'at: and a moment, or time stamps in all pieces',
    mend: 'add  at: 1:12  with the time at which it begins',
  },
})

const outside = ({ shown }: UnplacedPiece) => ({
  message: `${shown} would lie outside the song`,
  detail: {
    expected: 'a place from the start of the song on, within a day',
    mend: 'check at:, and the time stamps of the pieces',
  },
})
