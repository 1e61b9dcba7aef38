import type { Session, SessionGroup } from '../../recipe/session.js'
import { median } from '../../signal/statistics.js'
import { fixed, signed } from '../../terms/figure-text.js'
import { msFromSamples } from '../../terms/units.js'
import type { Warning, WarningCode } from '../../terms/warning.js'
import type { MeasuredTraces } from '../group/measured-traces.js'
import { distanceDiffers } from '../health/distance-check.js'
import { isTwin } from '../health/twin.js'
import type { SourceMeasurement } from '../measurement.js'
import { driftToldSeconds } from '../time/drift-told.js'
import type { SessionTrack } from './session-source.js'
import { referenceTurn, statedDiffers } from './stated-check.js'

export interface GroupFindings {
  readonly session: Session
  readonly group: SessionGroup
  readonly tracks: readonly SessionTrack[]
  readonly sources: readonly SourceMeasurement[]
  readonly reference: number
  /** Per track: start offset by the stamps, frames. */
  readonly stamped: readonly number[]
  /** Tracks whose stamps were left out. */
  readonly contradicted: readonly number[]
  /** Null with fewer than two tracks. */
  readonly measured: MeasuredTraces | null
}

/** A track so much quieter than the middle of its group is most likely a dead or wrong channel. */
const FAR_OFF_DB = 30
const LENGTH_SECONDS = 1

/** What comparing the sources of a group with each other, and with the recipe, has to tell; in the order of the sources. */
export const groupWarnings = (findings: GroupFindings): Warning[] => {
  const { tracks, group } = findings
  const told = tracks.flatMap((track, i) =>
    [...aboutSource(findings, i)].map(([code, message]) => ({
      code,
      group: group.name,
      source: track.source.name,
      message,
    })),
  )
  const polarity = referencePolarity(findings)
  return polarity === null
    ? told
    : [{ code: 'REFERENCE_POLARITY', group: group.name, source: group.reference, message: polarity }, ...told]
}

function* aboutSource(f: GroupFindings, i: number): Generator<[WarningCode, string]> {
  const track = f.tracks[i]!
  const source = f.sources[i]!
  if (track.fromGroup === null) {
    const levels = f.tracks.flatMap(t => (t.scan.silent || t.scan.rmsDbfs === null ? [] : [t.scan.rmsDbfs]))
    const middle = median(levels)
    const own = track.scan.rmsDbfs
    if (levels.length > 1 && !track.scan.silent && own !== null && own < middle - FAR_OFF_DB) {
      yield [
        'LEVEL_FAR_OFF',
        `Plays ${(middle - own).toFixed(0)} dB below the middle of its group. Check the gain, the cable and that the right file is named.`,
      ]
    }
    const longest = Math.max(...f.tracks.map(t => t.scan.frames))
    const short = (longest - track.scan.frames) / f.group.sampleRateHz
    if (short > LENGTH_SECONDS) {
      yield [
        'LENGTH_DIFFERS',
        `Is ${short.toFixed(1)} s shorter than the longest of its group. What both hold is measured; check that the export was complete.`,
      ]
    }
    const twin = f.tracks.findIndex((t, j) => j < i && t.fromGroup === null && isCopy(f, j, i))
    if (twin >= 0) {
      yield [
        'COPY_OF_ANOTHER',
        `Holds the same recording as ${f.tracks[twin]!.source.name}. In a blend it only makes that one louder; name the file that was meant.`,
      ]
    }
  }
  yield* aboutStart(f, i)
  yield* aboutMotion(f, source)
  for (const message of statedDiffers(f, track.source, source)) yield ['STATED_DIFFERS', message]
  const distance = distanceDiffers({
    track,
    reference: f.tracks[f.reference]!,
    measured: source,
    sampleRateHz: f.group.sampleRateHz,
    temperatureCelsius: f.session.temperatureCelsius,
  })
  if (distance !== null) yield ['DISTANCE_DIFFERS', distance]
}

function* aboutStart(f: GroupFindings, i: number): Generator<[WarningCode, string]> {
  const offset = f.stamped[i]!
  if (offset === 0) return
  const ms = msFromSamples(Math.abs(offset), f.group.sampleRateHz)
  const way = offset > 0 ? 'later' : 'earlier'
  if (f.contradicted.includes(i)) {
    yield [
      'STAMP_CONTRADICTED',
      `By its time stamp this file starts ${ms.toFixed(1)} ms ${way} than the reference, but the sound lines up without that. The stamp was left out; correct it, or export all files again from one start.`,
    ]
  } else {
    yield [
      'START_DIFFERS',
      `Starts ${offset > 0 ? offset : -offset} frames (${ms.toFixed(1)} ms) ${way} than the reference by its time stamp. That was taken off before measuring; the lag is what is left.`,
    ]
  }
}

function* aboutMotion(f: GroupFindings, source: SourceMeasurement): Generator<[WarningCode, string]> {
  const rate = f.group.sampleRateHz
  const { drift, steps } = source
  const drifted = driftToldSeconds(source)
  if (drift !== null && drifted > 0) {
    yield [
      'DRIFT',
      `Drifts by ${fixed(drift.ppm, 2)} ppm against the reference, ${(1000 * drifted).toFixed(2)} ms over the take: two clocks that are not locked, or a stand that creeps. The lag told is that at the first sound; follow: drift corrects it. For the next take lock all devices to one word clock.`,
    ]
  }
  for (const step of steps ?? []) {
    const by = msFromSamples(step.toLagSamples - step.fromLagSamples, rate)
    yield [
      'STEP',
      `The lag changes by ${signed(by, 2)} ms at ${step.atSeconds.toFixed(1)} s: a stand that was moved, a punch-in, or lost samples. The lag told is that of the longest stretch; follow: steps corrects all, pieces: measures each stretch by itself, or name one stretch (passage:).`,
    ]
  }
}

// The same bytes and channels, or a lag of nothing with everything in common.
const isCopy = (f: GroupFindings, a: number, b: number): boolean => {
  const first = f.tracks[a]!
  const second = f.tracks[b]!
  if (first.scan.silent || second.scan.silent) return false
  if (
    first.scan.sha256 === second.scan.sha256 &&
    JSON.stringify(first.file.selection) === JSON.stringify(second.file.selection)
  ) {
    return true
  }
  return f.measured !== null && isTwin(f.measured, a, b)
}

const referencePolarity = ({ session, sources, reference, group }: GroupFindings): string | null => {
  if (referenceTurn(session, group) === 'inverted') return null
  const known = sources.filter((s, i) => i !== reference && s.polarityVerdict === 'sure')
  const inverted = known.filter(s => s.polarity === 'inverted')
  return inverted.length > 1 && 2 * inverted.length > known.length
    ? `${inverted.length} of ${known.length} sources are inverted against ${group.reference}: most likely it is ${group.reference} itself that is the wrong way round. The others are turned to fit it; turn it in the recipe (polarity: inverted) if the punch should go the other way.`
    : null
}
