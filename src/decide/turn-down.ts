import type { SongMeasurement } from '../measure/measurement.js'
import { dbFromGain, gainFromDb } from '../terms/units.js'
import { integerBits } from './depth.js'
import { groupMeasurement, sourceMeasurement } from './lookup.js'
import type { Plan, PlannedStem } from './plan.js'
import { stepsDownDb } from './steps-down.js'
import type { StemPeaks, Survey } from './survey.js'

/** By how much stems have to be turned down, dB ≥ 0. */
export interface TurnDown {
  /** All blends of the song alike. */
  readonly blendsDb: number
  /** What the ceiling asks for; `blendsDb` is more where an earlier delivery was turned down further. */
  readonly neededDb: number
  /** Level that the loudest blend would reach, dBTP, and its name; null where the bound showed that none comes near. */
  readonly loudest: { readonly name: string; readonly peakDbtp: number } | null
  /** Single sources that would not fit into an integer word, by file name. */
  readonly sourcesDb: ReadonlyMap<string, number>
}

/**
 * How far a peak can lie above the one that the measurement read between the samples, at any frequency: 1 / cos(pi / (2 n)) for n points
 * a frame, 4 up to 48 kHz and at least 2 above. Rounded up.
 */
const meterMarginDb = (sampleRateHz: number): number => (sampleRateHz < 88200 ? 0.7 : 3.1)

/**
 * Bounds first: a sum is never louder than the sum of its parts' peaks. Only where that does not settle it, the audio is asked, exactly,
 * and a blend goes by its true peak, a single source by the largest sample that would be written.
 *
 * @param draft The plan with nothing turned down.
 * @param keptDb Blends are turned down by at least so much.
 */
export const turnDown = async (
  draft: Plan,
  measurement: SongMeasurement,
  survey: Survey,
  keptDb = 0,
): Promise<TurnDown> => {
  const blends = draft.stems.filter(stem => stem.kind === 'blend')
  const ceilings = new Map(blends.map(stem => [stem, ceilingDbtp(draft, stem)]))
  const doubtful = blends.filter(
    stem => dbFromGain(peakBound(draft, stem, measurement)) > ceilings.get(stem)!,
  )
  const peaks = await peaksOf(draft, doubtful, survey)
  const peakDb = (stem: PlannedStem): number => dbFromGain(peaks.get(stem.fileName)?.truePeak ?? 0)
  const steps = blends.map(stem => stepsDownDb(peakDb(stem), ceilings.get(stem)!))
  const loudest = [...doubtful].sort((a, b) => peakDb(b) - peakDb(a))[0]
  const neededDb = Math.max(0, ...steps)
  return {
    blendsDb: Math.max(keptDb, neededDb),
    neededDb,
    loudest: loudest === undefined ? null : { name: loudest.name, peakDbtp: peakDb(loudest) },
    sourcesDb: await sourcesTurnDown(draft, measurement, survey),
  }
}

// An integer word ends at full scale, whatever ceiling the recipe allows.
const ceilingDbtp = (draft: Plan, stem: PlannedStem): number =>
  integerBits(stem.depth) === null ? draft.ceilingDbtp : Math.min(0, draft.ceilingDbtp)

const sourcesTurnDown = async (
  draft: Plan,
  measurement: SongMeasurement,
  survey: Survey,
): Promise<ReadonlyMap<string, number>> => {
  const doubtful = draft.stems.filter(
    stem =>
      stem.kind === 'source' && integerBits(stem.depth) !== null && peakBound(draft, stem, measurement) > 1,
  )
  const peaks = await peaksOf(draft, doubtful, survey)
  const steps = [...peaks].map(
    ([fileName, { samplePeak }]) => [fileName, stepsDownDb(dbFromGain(samplePeak), 0)] as const,
  )
  return new Map(steps.filter(([, db]) => db > 0))
}

const peaksOf = async (draft: Plan, stems: readonly PlannedStem[], survey: Survey) =>
  stems.length === 0
    ? new Map<string, StemPeaks>()
    : survey.stemPeaks(
        draft,
        stems.map(stem => stem.fileName),
      )

/** Largest amplitude that a stem can reach, by its parts: their samples where they move by whole frames, what lies between else. */
const peakBound = (draft: Plan, stem: PlannedStem, measurement: SongMeasurement): number =>
  stem.parts.reduce((sum, part) => {
    const source = draft.sources.find(({ key }) => key === part.key)!
    const measured = sourceMeasurement(groupMeasurement(measurement, source.group), source.source)
    const isCopy = stem.kind === 'source' && part.follow === null && Number.isInteger(part.atSamples)
    const peakDb = isCopy
      ? (measured.samplePeakDbfs ?? -Infinity)
      : (measured.truePeakDbtp ?? -Infinity) + meterMarginDb(source.facts.sampleRateHz)
    return sum + Math.abs(part.gain) * gainFromDb(peakDb)
  }, 0)
