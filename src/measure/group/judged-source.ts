import * as portable from '../../terms/portable.js'
import type { Candidate, Polarity, Verdict } from '../measurement.js'
import type { PairEstimate } from '../pair/pair-estimate.js'
import { judgePair } from '../verdict/judge-pair.js'
import * as say from '../verdict/reasons.js'
import { WORST_FIRST, worstOf } from '../verdict/worst-of.js'
import { keptPosition, scoreOfLoss } from './kept-position.js'
import type { MeasuredPair, MeasuredTraces } from './measured-traces.js'
import type { SolvedLags } from './solve.js'

/** What is told of one source, its channels taken together. */
export interface JudgedSource {
  readonly lagSamples: number | null
  readonly uncertaintySamples: number | null
  readonly spreadSamples: number | null
  readonly polarity: Polarity | null
  readonly lagVerdict: Verdict
  readonly polarityVerdict: Verdict
  readonly reason: string | null
  readonly coherence: number | null
  readonly candidates: readonly Candidate[]
  /** The clearest pair with the reference, for what is derived further; null where there is none. */
  readonly best: MeasuredPair | null
}

/** Pairs of a group that miss each other by this much put a source in doubt, seconds. */
const CLOSURE_SECONDS = 0.00025
const ARRIVAL_CANDIDATES = 5
const NO_PAIR = { estimate: null, shiftSamples: 0, beyondSamples: null }

/**
 * One source from its channels. The lag of a linked set is the mean of its channels' lags, so that the middle of a pair of
 * microphones is lined up and its picture stays whole; half of what the channels differ by is added to the spread. The verdict
 * is the worst of the channels, and channels that are silent (dead) do not count.
 */
export const judgeSource = (measured: MeasuredTraces, solved: SolvedLags, source: number): JudgedSource => {
  const { traces, task } = measured
  const channels = traces.flatMap((t, i) => (t.source === source && isAlive(measured, i) ? [i] : []))
  const found = channels.map(channel => clearest(measured, channel))
  const judged = found.map(pair =>
    judgePair(pair ?? NO_PAIR, { sampleRateHz: task.sampleRateHz, searchSamples: measured.searchSamples }),
  )
  const best = found
    .filter(pair => pair !== null)
    .sort((a, b) => b.estimate!.peaks[0]!.mass - a.estimate!.peaks[0]!.mass)[0]
  if (channels.length === 0 || best === undefined)
    return nothing(channels.length === 0 ? say.silent() : say.nothingShared())
  let lagVerdict = worstOf(judged.map(({ lag }) => lag))
  let polarityVerdict = worstOf(judged.map(({ polarity }) => polarity))
  let reason = [...judged].sort((a, b) => placeOf(a.lag, a.polarity) - placeOf(b.lag, b.polarity))[0]!.reason
  const signs = new Set(found.map(pair => pair?.estimate?.sign))
  if (signs.size > 1 && polarityVerdict === 'sure') {
    polarityVerdict = 'unsure'
    reason = say.channelsDisagree()
  }
  const misfit = Math.max(...channels.map(c => solved.misfitSamples[c]!))
  if (misfit > CLOSURE_SECONDS * task.sampleRateHz && lagVerdict === 'sure') {
    lagVerdict = 'unsure'
    reason = say.pairsDisagree((1000 * misfit) / task.sampleRateHz)
  }
  if (lagVerdict === 'unknown') return nothing(reason ?? say.nothingShared(), best)
  const lags = channels.map(c => solved.lagSamples[c]).filter(l => l !== null && l !== undefined)
  const lagSamples = mean(lags)
  const errors = channels.map(c => solved.uncertaintySamples[c]).filter(e => e !== null && e !== undefined)
  const apart = (Math.max(...lags) - Math.min(...lags)) / 2
  const estimate = best.estimate!
  return {
    lagSamples,
    uncertaintySamples: Math.sqrt(mean(errors.map(e => e * e))),
    spreadSamples: portable.hypot(mean(found.map(p => p?.estimate?.spreadSamples ?? 0)), apart),
    polarity: polarityVerdict === 'unknown' ? null : estimate.sign === 1 ? 'normal' : 'inverted',
    lagVerdict,
    polarityVerdict,
    reason,
    coherence: mean(found.map(p => p?.estimate?.coherence ?? 0)),
    candidates: candidatesOf(
      best,
      lagSamples,
      keptPosition(measured, best, task.members[source]!.keptSamples ?? null),
    ),
    best,
  }
}

/** A channel of which at least one frame voted. */
const isAlive = (measured: MeasuredTraces, trace: number): boolean => measured.gathered.voted[trace]! > 0

// With a reference of several channels: the one with which this channel shares most.
const clearest = (measured: MeasuredTraces, channel: number): MeasuredPair | null =>
  measured.pairs
    .filter(
      p =>
        p.second === channel &&
        measured.traces[p.first]!.source === measured.task.reference &&
        p.estimate !== null,
    )
    .sort((a, b) => b.estimate!.peaks[0]!.mass - a.estimate!.peaks[0]!.mass)[0] ?? null

const candidatesOf = (pair: MeasuredPair, lagSamples: number, kept: Candidate | null): Candidate[] => {
  const estimate: PairEstimate = pair.estimate!
  const top = estimate.peaks[0]!
  const polarity = (sign: 1 | -1): Polarity => (sign === 1 ? 'normal' : 'inverted')
  const arrivals = estimate.peaks.slice(0, ARRIVAL_CANDIDATES).map((peak, i) => ({
    aim: 'arrival' as const,
    lagSamples: i === 0 ? lagSamples : peak.lagSamples + pair.shiftSamples,
    polarity: polarity(peak.sign),
    score: Math.min(1, (estimate.score * peak.mass) / top.mass),
  }))
  const full = estimate.fullness.map(position => ({
    aim: 'fullness' as const,
    lagSamples: position.lagSamples + pair.shiftSamples,
    polarity: polarity(position.sign),
    score: scoreOfLoss(position.lossDb),
  }))
  const fullest = [...full, ...(kept === null ? [] : [kept])].sort((a, b) => b.score - a.score)
  return [...arrivals, ...fullest]
}

/** What is told of a source whose lag nobody knows, beside the reason. */
export const NO_LAG = {
  lagSamples: null,
  uncertaintySamples: null,
  spreadSamples: null,
  polarity: null,
  lagVerdict: 'unknown',
  polarityVerdict: 'unknown',
  candidates: [],
} as const

const nothing = (reason: string, best: MeasuredPair | null = null): JudgedSource => ({
  ...NO_LAG,
  reason,
  coherence: best?.estimate?.coherence ?? null,
  best,
})

const placeOf = (lag: Verdict, polarity: Verdict): number => WORST_FIRST.indexOf(worstOf([lag, polarity]))

const mean = (values: readonly number[]): number =>
  values.length === 0 ? 0 : values.reduce((sum, v) => sum + v, 0) / values.length
