import type { MeasuredLag, Polarity, PooledLag, PooledTake, SourceMeasurement } from '../measurement.js'
import { driftToldSeconds } from '../time/drift-told.js'
import { agreeing, combined, type Reading, weightedMean } from './homogeneity.js'

/** One source in one take. */
export interface SourceInTake {
  readonly song: string
  readonly take: string | null
  readonly isThis: boolean
  /** Null where the take is not there, or cannot be read. */
  readonly measured:
    | (MeasuredLag & Pick<SourceMeasurement, 'drift' | 'steps' | 'lagOverTime' | 'pieces'>)
    | null
  /** Its recordings are those of another take that stands before it. */
  readonly isSame: boolean
}

/** The error of a lag is never taken for less than this, frames: copies of one sound would outweigh all that was played. */
const LEAST_ERROR_SAMPLES = 1e-4
/** Part of a path's own spread that its broadband lag differs by with what is played; as where pairs of one take are solved. */
const SPREAD_PART = 0.1
/** What nobody has to have moved: 1 degree Celsius more or less in the room, 0.17 % of the lag in air (0.6 of 343 m/s) … */
const AIR_PART = 0.0017
/** … and a third of a millimetre at 48 kHz, by which nothing on a stand keeps its place. Frames. */
const PLACE_SAMPLES = 0.05

const isSure = ({ measured }: SourceInTake): boolean =>
  measured !== null &&
  measured.lagSamples !== null &&
  measured.polarity !== null &&
  measured.lagVerdict === 'sure' &&
  measured.polarityVerdict === 'sure'

/** A source in pieces has a lag for each of them. */
const isMoving = ({ measured }: SourceInTake): boolean =>
  measured !== null &&
  ((measured.steps?.length ?? 0) > 0 || driftToldSeconds(measured) > 0 || measured.pieces !== undefined)

const reading = ({ measured }: SourceInTake): Reading => ({
  value: measured!.lagSamples!,
  error: Math.max(LEAST_ERROR_SAMPLES, measured!.lagUncertaintySamples ?? 0),
})

/** With what a lag may differ by from take to take though nothing was moved. */
const tolerant = (one: SourceInTake): Reading => {
  const { value, error } = reading(one)
  const spread = SPREAD_PART * (one.measured!.arrivalSpreadSamples ?? 0)
  const air = AIR_PART * value
  return {
    value,
    error: Math.sqrt(error * error + spread * spread + air * air + PLACE_SAMPLES * PLACE_SAMPLES),
  }
}

/**
 * One lag of a source from several takes between which nothing was moved: the mean of those that are sure by themselves and agree, weighted by
 * their errors. The takes stand in an order of their own: in whatever order they are given, the same comes out to the last bit.
 *
 * A pool changes no verdict. Takes that are not sure do not make one, however well they agree: what makes a lag unsure (another period of a
 * note, a bleed, a reflection louder than the direct sound, a path that turns the phase) is the same in every take of one setup, and
 * so is the wrong answer. Nor does a take that is not sure get the lag of the others: if its stand was moved after all, a wrong
 * position of its own may lie just there.
 */
export const poolLags = (given: readonly SourceInTake[]): PooledLag => {
  const takes = [...given].sort(inOrder)
  const voices = takes.filter(one => isSure(one) && !isMoving(one) && !one.isSame)
  const polarity = majority(voices.map(({ measured }) => measured!.polarity!))
  const alike = voices.filter(({ measured }) => measured!.polarity === polarity)
  const agree = agreeing(alike.map(tolerant)).map(i => alike[i]!)
  const isPool = polarity !== null && agree.length > 1 && 2 * agree.length > voices.length
  const pool: ReadonlySet<SourceInTake> = new Set(isPool ? agree : [])
  const whole = isPool ? combined(agree.map(reading)) : null
  const told = takes.map(one => pooledTake(one, pool, voices.includes(one)))
  return {
    lagSamples: whole?.value ?? null,
    uncertaintySamples: whole?.error ?? null,
    scatterSamples: whole?.scatter ?? null,
    used: takes.some(one => one.isThis && pool.has(one)),
    takes: told,
  }
}

const inOrder = (a: SourceInTake, b: SourceInTake): number =>
  compared(a.song, b.song) ||
  compared(a.take ?? '', b.take ?? '') ||
  (a.measured?.lagSamples ?? 0) - (b.measured?.lagSamples ?? 0)

const compared = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0)

const majority = (polarities: readonly Polarity[]): Polarity | null => {
  const inverted = polarities.filter(polarity => polarity === 'inverted').length
  if (2 * inverted > polarities.length) return 'inverted'
  return 2 * inverted < polarities.length ? 'normal' : null
}

const pooledTake = (one: SourceInTake, pool: ReadonlySet<SourceInTake>, isVoice: boolean): PooledTake => {
  const { song, take, isThis, measured, isSame } = one
  const others = [...pool].filter(other => other !== one).map(reading)
  const lagSamples = measured?.lagSamples ?? null
  return {
    song,
    take,
    isThis,
    state:
      measured === null
        ? 'missing'
        : isSame
          ? 'same'
          : pool.has(one)
            ? 'pooled'
            : !isSure(one)
              ? 'unsure'
              : isVoice
                ? 'odd'
                : 'moving',
    lagSamples,
    lagUncertaintySamples: measured?.lagUncertaintySamples ?? null,
    polarity: measured?.polarity ?? null,
    differsSamples:
      lagSamples === null || others.length === 0 ? null : lagSamples - weightedMean(others).value,
  }
}
