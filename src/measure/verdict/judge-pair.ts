import type { Verdict } from '../measurement.js'
import type { PairEstimate } from '../pair/pair-estimate.js'
import * as say from './reasons.js'

/** How far a lag and a polarity can be trusted, and what to do where they cannot. */
export interface Judgement {
  readonly lag: Verdict
  readonly polarity: Verdict
  readonly reason: string | null
}

export interface JudgeContext {
  readonly sampleRateHz: number
  readonly searchSamples: number
}

interface Doubt {
  readonly lag: Verdict
  readonly polarity: Verdict
  readonly reason: string
}

/** Limits of the rules below, each chosen on the tuning set of docs/measuring.md, none on the set that the figures are from. */
const LIMITS = {
  /** Share of the common sound that must line up at one lag. Unrelated tracks and held noise stay under 0.2. */
  scoreUnknown: 0.15,
  scoreUnsure: 0.3,
  /** So clear a peak is sound that both share, however high the rest of the curve. */
  scoreClear: 0.5,
  /** Height of the peak over the rms of the curve: chance reaches about 4.5 in 8,000 lags. */
  prominenceUnknown: 7,
  prominenceUnsure: 9,
  /** Height of a rival over the best. */
  rival: 0.8,
  sameMs: 0.1,
  /** … and over the best in the loud sound alone: less, and it is a bleed. */
  rivalLoudness: 0.6,
  /** A rival that only the loud sound sees: of all octaves, and of the partials alone. */
  octaveRival: 0.8,
  octaveRivalOfPartials: 0.7,
  partialsRival: 0.95,
  /** Either half of the common band must reach this part of its own best at the lag. */
  half: 0.6,
  /** … unless it holds less of the common energy than this, where a bleed may fill it. */
  halfEnergy: 0.02,
  /**
   * Where no more than this is heard of what both share, Hz, and another place sums fuller by so much than the arrival does, the lower half of
   * the common band asks for another answer than the upper one.
   */
  lowEndHz: 1500,
  turnedOverDb: 1,
  /** Sound before the arrival in the response from reference to source. */
  earlier: 0.42,
  earlierProminence: 8,
  /** … that is there in the loud octaves too: direct sounds reach 0.45 and more there, bleeds under 0.25. */
  earlierLoud: 0.33,
  /** So high it counts however much else there is. */
  earlierHigh: 0.7,
  earlierLoudHigh: 0.5,
  /** Loud octaves that line up elsewhere so many times better. */
  loud: 2,
  loudBass: 1.25,
  bassHz: 100,
  /** Loud octaves in which the bins line up less than this belong to another sound, or the path turns them over. */
  octave: -0.2,
  octaves: 0.2,
  /** … and the loud octaves together must line up at least so well, as part of the score of all bins. */
  octavesOfScore: 0.45,
  /** The loud octaves must begin and end there, and the more so the more the votes lie where the gain is higher than theirs. */
  support: [
    { share: 0.6, tiltDb: Number.NEGATIVE_INFINITY },
    { share: 0.85, tiltDb: 0 },
    { share: 0.92, tiltDb: 8 },
    { share: 0.97, tiltDb: 9 },
    { share: 0.995, tiltDb: 13 },
  ],
  /** From here on a gain that is lower there counts like one that is higher: the bleed may be the reference's. */
  supportEitherWayDb: 8,
  /** Held tones have nearly the same energy at all lags: it must stand out of their mean by this part of what it could at least. */
  supportOverHeld: 0.5,
  /**
   * … unless the partials of the loud octaves themselves are in phase there to this part, and line up nowhere else: several notes held together
   * have no common period. Bass alone under a bleed stays near 0, one held tone has rivals near 1.
   */
  heldInPhase: 0.33,
  heldRival: 0.65,
  heldPartialsRival: 0.88,
  /** Common part of the energy of the track that has less of it. */
  energyUnknown: 0.002,
  energyUnsure: 0.12,
  foldShare: 0.8,
  /** A lag this uncertain cannot be used, seconds (3 standard errors). */
  uncertaintySeconds: 0.00025,
  commonHz: 60,
} as const

/** What of a measured pair is judged. */
export interface JudgedPair {
  readonly estimate: PairEstimate | null
  readonly shiftSamples: number
  readonly beyondSamples: number | null
  /** Left out: not looked for. */
  readonly copySamples?: number | null
}

/** Judges one source against the reference. `estimate` null: nothing at all is shared. */
export const judgePair = (pair: JudgedPair, context: JudgeContext): Judgement => {
  const { estimate } = pair
  if (estimate === null) return { lag: 'unknown', polarity: 'unknown', reason: say.nothingShared() }
  const doubts = [
    ...unknowns(estimate, pair, context),
    ...copies(estimate, pair, context),
    ...unsures(estimate, context),
  ]
  const worst = (part: 'lag' | 'polarity'): Verdict =>
    doubts.some(d => d[part] === 'unknown')
      ? 'unknown'
      : doubts.some(d => d[part] === 'unsure')
        ? 'unsure'
        : 'sure'
  return { lag: worst('lag'), polarity: worst('polarity'), reason: doubts[0]?.reason ?? null }
}

function* unknowns(e: PairEstimate, pair: JudgedPair, context: JudgeContext): Generator<Doubt> {
  const unknown = (reason: string): Doubt => ({ lag: 'unknown', polarity: 'unknown', reason })
  if (pair.beyondSamples !== null) {
    yield unknown(say.beyond((1000 * pair.beyondSamples) / context.sampleRateHz))
  }
  if (
    e.score < LIMITS.scoreUnknown ||
    (e.prominence < LIMITS.prominenceUnknown && e.score < LIMITS.scoreClear) ||
    e.commonEnergy < LIMITS.energyUnknown
  ) {
    yield unknown(say.nothingShared())
  }
  const lag = e.lagSamples + pair.shiftSamples
  const cycle = Math.min(0.02 * context.searchSamples, context.sampleRateHz / Math.max(1, e.middleHz))
  if (Math.abs(lag) > context.searchSamples - Math.max(1, cycle)) {
    yield unknown(say.atTheEdge(context.searchSamples / context.sampleRateHz))
  }
}

function* rivals(e: PairEstimate, ms: (samples: number) => number): Generator<Doubt> {
  const doubt = (awayMs: number, sameSign: boolean): Doubt =>
    sameSign
      ? { lag: 'unsure', polarity: 'sure', reason: say.otherPeriod(awayMs) }
      : { lag: 'unsure', polarity: 'unsure', reason: say.otherPolarity(awayMs) }
  const best = e.peaks[0]
  for (const [i, rival] of e.peaks.entries()) {
    if (i === 0 || best === undefined || rival.mass < LIMITS.rival * best.mass) continue
    // Nearer than what the path's own octaves differ by, and of the same sign, it makes no difference to anybody.
    const away = rival.lagSamples - best.lagSamples
    const isSame = Math.abs(away) < e.spreadSamples && Math.abs(ms(away)) < LIMITS.sameMs
    if (rival.sign === best.sign && isSame) continue
    // A rival in which hardly any of the loud sound lines up is a bleed, which has a lag of its own.
    if (e.peaksLoudness[i]! < LIMITS.rivalLoudness) continue
    yield doubt(ms(away), rival.sign === best.sign)
  }
  const { octaveRival: loud, partialsRival: partials } = e
  if (loud.ratio > LIMITS.octaveRival) yield doubt(ms(loud.excessSamples), loud.sign === 1)
  else if (partials.ratio > LIMITS.partialsRival && loud.ratio > LIMITS.octaveRivalOfPartials) {
    yield doubt(ms(partials.excessSamples), partials.sign === 1)
  }
}

function* copies(e: PairEstimate, pair: JudgedPair, { sampleRateHz }: JudgeContext): Generator<Doubt> {
  if (pair.copySamples == null) return
  const away = (1000 * (pair.copySamples - pair.shiftSamples - e.lagSamples)) / sampleRateHz
  yield { lag: 'unsure', polarity: 'unsure', reason: say.secondCopy(away) }
}

function* unsures(e: PairEstimate, { sampleRateHz }: JudgeContext): Generator<Doubt> {
  const ms = (samples: number): number => (1000 * samples) / sampleRateHz
  const both = (reason: string): Doubt => ({ lag: 'unsure', polarity: 'unsure', reason })
  if (e.loud.ratio > LIMITS.loud)
    yield both(say.anotherSound(e.loud.fromHz, e.loud.toHz, ms(e.loud.excessSamples)))
  const against = e.octaves.find(o => o.value < LIMITS.octave)
  const upper = e.octaves.filter(o => o.middleHz >= 500)
  const all = e.octaves.reduce((sum, o) => sum + o.value, 0) / e.octaves.length
  const mean = upper.reduce((sum, o) => sum + o.value, 0) / upper.length
  if (against !== undefined)
    yield both(say.halvesDisagree(against.middleHz / 1.414, against.middleHz * 1.414))
  else if (mean < LIMITS.octaves || all < LIMITS.octavesOfScore * e.score) yield both(say.loudElsewhere())
  yield* rivals(e, ms)
  const half = e.halves.find(h => h.agreement < LIMITS.half && h.energyShare > LIMITS.halfEnergy)
  if (half !== undefined) yield both(say.halvesDisagree(half.fromHz, half.toHz))
  if (half === undefined && isTurnedOver(e)) {
    const [lower] = e.halves
    yield both(say.halvesDisagree(lower!.fromHz, Math.min(lower!.toHz, e.heardToHz)))
  }
  const { earlier } = e
  const isPulse =
    earlier.ratio > LIMITS.earlier &&
    earlier.prominence > LIMITS.earlierProminence &&
    earlier.loudRatio > LIMITS.earlierLoud
  const isHigh = earlier.ratio > LIMITS.earlierHigh && earlier.loudRatio > LIMITS.earlierLoudHigh
  if (isPulse || isHigh) {
    yield { lag: 'unsure', polarity: 'unsure', reason: say.earlierSound(-ms(earlier.excessSamples)) }
  }
  const { share, tiltDb: signedDb, heldShare, inPhase } = e.support
  const tiltDb = -signedDb > LIMITS.supportEitherWayDb ? -signedDb : signedDb
  const isHeld = share - heldShare < LIMITS.supportOverHeld * (1 - heldShare)
  const areInPhase =
    inPhase > LIMITS.heldInPhase &&
    e.octaveRival.ratio < LIMITS.heldRival &&
    e.partialsRival.ratio < LIMITS.heldPartialsRival
  if (LIMITS.support.some(s => share < s.share && tiltDb > s.tiltDb) || (isHeld && !areInPhase)) {
    yield both(say.loudElsewhere())
  }
  if (e.commonHz < LIMITS.commonHz) yield both(say.narrow(e.middleHz))
  if (e.score < LIMITS.scoreUnsure || e.prominence < LIMITS.prominenceUnsure) yield both(say.faint())
  if (e.commonEnergy < LIMITS.energyUnsure) yield both(say.littleShared(e.commonEnergy))
  if (e.foldShare < LIMITS.foldShare) yield both(say.changesOverTime())
  if (3 * e.uncertaintySamples > LIMITS.uncertaintySeconds * sampleRateHz) {
    yield { lag: 'unsure', polarity: 'sure', reason: say.uncertain(ms(e.uncertaintySamples)) }
  }
}

// Both share the low end alone, and a path that turns its phase sums fullest elsewhere than its wavefront arrives.
const isTurnedOver = ({ heardToHz, fullness: [fullest], arrivalLossDb }: PairEstimate): boolean =>
  heardToHz < LIMITS.lowEndHz && fullest !== undefined && arrivalLossDb > fullest.lossDb + LIMITS.turnedOverDb
