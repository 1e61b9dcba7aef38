/** One file on the common timeline, as recorded and as moved. */
export interface Span {
  readonly sampleRateHz: number
  readonly frames: number
  readonly isStamped: boolean
  /** As in `Place`. */
  readonly recordedAtSamples: number
  /** Shift at its first frame and at its last; equal unless it is followed through the take. */
  readonly firstShiftSamples: number
  readonly lastShiftSamples: number
  /** Also delivered as recorded, by a blend that is not aligned: then its end as recorded counts too. */
  readonly alsoAsRecorded: boolean
}

/** Where the stems of a song begin and end. All start together and have the same length, in whole frames of each rate. */
export interface Timeline {
  /** Frames of every stem at this rate. */
  frames(sampleRateHz: number): number
  /** Time stamp of every stem at this rate, frames since midnight; null where no file of the song has one. */
  stampSamples(sampleRateHz: number): number | null
  /** Position on the stems of something that stands at `recordedAtSamples`, whole frames. */
  position(
    place: { readonly isStamped: boolean; readonly recordedAtSamples: number },
    sampleRateHz: number,
  ): number
}

/** A moment in whole frames of some rate: kept as a fraction, so that nothing is rounded before it must be. */
interface Moment {
  readonly samples: number
  readonly sampleRateHz: number
}

/**
 * From the earliest start to the latest end of all files of the song.
 *
 * With time stamps the stems begin where the earliest sound comes to lie, which may be earlier than anything was recorded: the stamp is
 * lowered, at most to midnight. Files without a stamp start with the earliest stamped one. Without any stamp the zero stays where it
 * is, and what is moved before it is cut.
 */
export const timelineOf = (spans: readonly Span[]): Timeline => {
  const stamped = spans.filter(span => span.isStamped)
  const songStart: Moment | null = stamped.length === 0 ? null : earliest(stamped.map(asRecorded))
  const baseFor = (rate: number): number => (songStart === null ? 0 : floorAt(songStart, rate))
  const absolute = (span: Pick<Span, 'isStamped' | 'recordedAtSamples'>, rate: number): number =>
    span.recordedAtSamples + (span.isStamped ? 0 : baseFor(rate))
  const moment = (span: Span, shiftSamples: number): Moment => ({
    samples: absolute(span, span.sampleRateHz) + shiftSamples,
    sampleRateHz: span.sampleRateHz,
  })

  const starts = spans.flatMap(span => [moment(span, 0), moment(span, Math.floor(span.firstShiftSamples))])
  const zero: Moment = { samples: 0, sampleRateHz: 1 }
  const start = songStart === null ? zero : latest([earliest([songStart, ...starts]), zero])
  const ends = spans.flatMap(span => [
    moment(span, span.frames + Math.ceil(span.lastShiftSamples)),
    ...(span.alsoAsRecorded ? [moment(span, span.frames)] : []),
  ])
  const end = latest([start, ...ends])
  const origin = (rate: number): number => floorAt(start, rate)
  return {
    frames: rate => ceilAt(end, rate) - origin(rate),
    stampSamples: rate => (songStart === null ? null : origin(rate)),
    position: (place, rate) => absolute(place, rate) - origin(rate),
  }
}

const asRecorded = (span: Span): Moment => ({
  samples: span.recordedAtSamples,
  sampleRateHz: span.sampleRateHz,
})

const isEarlier = (a: Moment, b: Moment): boolean => productOf(a, b) < productOf(b, a)
const productOf = (a: Moment, b: Moment): bigint => BigInt(a.samples) * BigInt(b.sampleRateHz)
const earliest = (moments: readonly Moment[]): Moment => moments.reduce((a, b) => (isEarlier(b, a) ? b : a))
const latest = (moments: readonly Moment[]): Moment => moments.reduce((a, b) => (isEarlier(a, b) ? b : a))

// Frames of another rate before and after a moment. Exact: a day at 384 kHz times another rate passes 2^53.
const floorAt = ({ samples, sampleRateHz }: Moment, rate: number): number => {
  const product = BigInt(samples) * BigInt(rate)
  const quotient = product / BigInt(sampleRateHz)
  return Number(product < 0n && quotient * BigInt(sampleRateHz) !== product ? quotient - 1n : quotient)
}
const ceilAt = ({ samples, sampleRateHz }: Moment, rate: number): number =>
  -floorAt({ samples: -samples, sampleRateHz }, rate)
