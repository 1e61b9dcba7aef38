import type { HeardStretch } from '../../recipe/pieces/piece-layout.js'

/** From a frame to the one after the last, on the timeline of the group's reference. */
export interface Span {
  readonly startFrame: number
  readonly endFrame: number
}

/** One piece of a source, heard together with one piece of the reference: what has one lag. */
export interface PieceUnit {
  /** Index into the tracks of the group. */
  readonly track: number
  /** Index into the track's pieces, and into those of the reference; 0 where it is one file. */
  readonly piece: number
  readonly referencePiece: number
  /** When both are heard, in the order of time; at least one. */
  readonly spans: readonly Span[]
}

/** Units that are measured together, since they are heard over the same time. */
export interface PieceRun {
  readonly referencePiece: number
  readonly spans: readonly Span[]
  /** Per track: the piece that sounds all through the spans; null where that changes. */
  readonly pieces: readonly (number | null)[]
  /** Those of which the lag is told by this run. */
  readonly units: readonly PieceUnit[]
}

/** Punches of several tracks are one where their edges lie within this, seconds; a shorter overlap of two pieces says nothing. */
const SAME_EDGE_SECONDS = 0.05

/**
 * What is measured when some sources of a group are in pieces: every piece against each piece of the reference with which it is heard.
 *
 * @param heard Per track: which of its pieces is heard when, on the timeline of the reference.
 */
export const pieceRuns = (
  heard: readonly (readonly HeardStretch[])[],
  reference: number,
  sampleRateHz: number,
): readonly PieceRun[] => {
  const slack = SAME_EDGE_SECONDS * sampleRateHz
  const units = heard.flatMap((own, track) =>
    track === reference ? [] : unitsOf(track, own, heard[reference]!, slack),
  )
  const runs: { readonly first: PieceUnit; readonly units: PieceUnit[] }[] = []
  for (const unit of units) {
    const together = runs.find(
      ({ first }) =>
        first.referencePiece === unit.referencePiece &&
        covers(first, unit, slack) &&
        covers(unit, first, slack),
    )
    if (together === undefined) runs.push({ first: unit, units: [unit] })
    else together.units.push(unit)
  }
  return runs.map(run => ({
    referencePiece: run.first.referencePiece,
    spans: run.first.spans,
    pieces: heard.map((_, track) =>
      track === reference
        ? run.first.referencePiece
        : (units.find(
            unit =>
              unit.track === track &&
              unit.referencePiece === run.first.referencePiece &&
              covers(unit, run.first, slack),
          )?.piece ?? null),
    ),
    units: run.units,
  }))
}

const unitsOf = (
  track: number,
  own: readonly HeardStretch[],
  reference: readonly HeardStretch[],
  slack: number,
): readonly PieceUnit[] => {
  const found = new Map<string, { unit: Omit<PieceUnit, 'spans'>; spans: Span[] }>()
  for (const stretch of own) {
    for (const under of reference) {
      const startFrame = Math.max(stretch.startFrame, under.startFrame)
      const endFrame = Math.min(stretch.endFrame, under.endFrame)
      if (endFrame - startFrame < slack) continue
      const key = `${stretch.piece}/${under.piece}`
      const known = found.get(key)
      if (known !== undefined) known.spans.push({ startFrame, endFrame })
      else {
        const unit = { track, piece: stretch.piece, referencePiece: under.piece }
        found.set(key, { unit, spans: [{ startFrame, endFrame }] })
      }
    }
  }
  return [...found.values()].map(({ unit, spans }) => ({ ...unit, spans }))
}

/** Whether one unit is heard all the time that another is. */
const covers = (one: PieceUnit, other: PieceUnit, slack: number): boolean =>
  other.spans.every(({ startFrame, endFrame }) =>
    one.spans.some(span => span.startFrame <= startFrame + slack && span.endFrame >= endFrame - slack),
  )

/** Frames that spans hold together. */
export const framesIn = (spans: readonly Span[]): number =>
  spans.reduce((sum, { startFrame, endFrame }) => sum + endFrame - startFrame, 0)
