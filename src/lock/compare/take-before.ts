import { worstOf } from '../../measure/verdict/worst-of.js'
import type {
  LagBefore,
  Lock,
  LockedLag,
  LockedPiece,
  LockedSource,
  PieceBefore,
  SourceBefore,
  TakeBefore,
} from '../lock.js'
import type { Standing } from '../use/standing.js'

/** A lock in the few numbers that a comparison needs. */
export const takeOf = (lock: Lock): TakeBefore => ({
  take: lock.take,
  temperatureCelsius: lock.temperatureCelsius,
  groups: Object.fromEntries(
    Object.entries(lock.groups).map(([name, { reference, sampleRateHz, sources }]) => [
      name,
      {
        reference,
        sampleRateHz,
        sources: Object.fromEntries(
          Object.entries(sources).map(([source, locked]) => [source, sourceBefore(locked)] as const),
        ),
      },
    ]),
  ),
  blends: Object.fromEntries(
    Object.entries(lock.stems).flatMap(([, stem]) =>
      stem.kind === 'blend' && stem.sound !== null
        ? [[`${stem.group}/${stem.name}`, { group: stem.group, ...stem.sound }] as const]
        : [],
    ),
  ),
})

const sourceBefore = (locked: LockedSource): SourceBefore => ({
  via: locked.via,
  audioSha256: locked.audioSha256,
  ...lagBefore(locked),
  loudnessLufs: locked.loudnessLufs,
  ...(locked.pieces === undefined ? {} : { pieces: locked.pieces.map(pieceBefore) }),
})

const pieceBefore = (locked: LockedPiece): PieceBefore => ({
  piece: locked.piece,
  referencePiece: locked.referencePiece,
  ...lagBefore(locked),
})

/** Of what was measured, of a source or of one piece, that by which it is compared. */
const lagBefore = (
  measured: Pick<
    LockedLag,
    'lagSamples' | 'lagUncertaintySamples' | 'polarity' | 'lagVerdict' | 'polarityVerdict'
  >,
): LagBefore => ({
  lagSamples: measured.lagSamples,
  lagUncertaintySamples: measured.lagUncertaintySamples,
  polarity: measured.polarity,
  verdict: worstOf([measured.lagVerdict, measured.polarityVerdict]),
})

/**
 * The take before a delivery that is about to be made: what the former lock holds, if anything that it knew was recorded or measured
 * anew; else the one that it had before itself.
 */
export const takeBefore = (
  take: string | null,
  former: Lock | null,
  standing: readonly Standing[],
): TakeBefore | null => {
  if (former === null) return null
  const measuredAnew = standing.some(({ locked, anew }) => locked !== null && anew !== null)
  return measuredAnew || former.take !== take ? takeOf(former) : former.before
}
