import { weightedLeastSquares } from '../../signal/statistics.js'
import { jackknifeError, statedError } from '../pair/leave-out.js'
import type { MeasuredPair, MeasuredTraces } from './measured-traces.js'

/** Lags of all traces from all pairs. */
export interface SolvedLags {
  /** Per trace: frames against the reference (the mean of its channels); null where nothing ties it. */
  readonly lagSamples: readonly (number | null)[]
  readonly uncertaintySamples: readonly (number | null)[]
  /** Root mean square of what the pairs miss each other by, frames; null where no loop closes. */
  readonly closureSamples: number | null
  /** Per trace: the most that any pair with it misses the solution by, frames. */
  readonly misfitSamples: readonly number[]
}

/** A pair takes part where its peak is clear by itself. */
const CREDIBLE_SCORE = 0.25
const CREDIBLE_PROMINENCE = 8
/** Part of a path's own spread that its broadband lag may be off by from pair to pair. */
const SPREAD_PART = 0.1

/**
 * Weighted least squares over all credible pairs, `lag(second) - lag(first) = measured`, with weights from each pair's
 * uncertainty; the first channel of the reference is held at 0. The error comes from solving again without each part of the
 * time, so that what the pairs have in common (the same noise in the same track) is counted once.
 */
export const solveLags = (measured: MeasuredTraces): SolvedLags => {
  const { traces, task } = measured
  const referenceTraces = traces.flatMap((t, i) => (t.source === task.reference ? [i] : []))
  const origin = referenceTraces[0]!
  const direct = measured.pairs.filter(p => traces[p.first]!.source === task.reference && p.estimate !== null)
  const used = [...direct, ...credibleOthers(measured, direct)]
  const tied = tiedTraces(used, origin)
  const unknowns = [...tied].filter(t => t !== origin)
  const place = new Map(unknowns.map((t, i) => [t, i]))
  const rows = used.map(p => {
    const row = new Float64Array(unknowns.length)
    if (p.second !== origin) row[place.get(p.second)!] = 1
    if (p.first !== origin) row[place.get(p.first)!] = -1
    return row
  })
  const weights = weightsOf(used)
  const solve = (values: readonly number[]): Float64Array | null =>
    unknowns.length === 0 ? null : (weightedLeastSquares(rows, values, weights)?.solution ?? null)
  const values = used.map(p => p.shiftSamples + p.estimate!.lagSamples)
  const solution = solve(values)
  const lagOf = (found: Float64Array | null, trace: number): number =>
    trace === origin || found === null ? 0 : found[place.get(trace)!]!
  const middle = (found: Float64Array | null): number =>
    referenceTraces.reduce((sum, t) => sum + (tied.has(t) ? lagOf(found, t) : 0), 0) /
    Math.max(1, referenceTraces.filter(t => tied.has(t)).length)
  const folds = Math.max(0, ...used.map(p => p.estimate!.without.length))
  const without = Array.from({ length: folds }, (_, fold) =>
    solve(used.map(p => p.shiftSamples + (p.estimate!.without[fold] ?? p.estimate!.lagSamples))),
  )
  const zero = middle(solution)
  const lagSamples = traces.map((_, t) =>
    tied.has(t) && solution !== null ? lagOf(solution, t) - zero : null,
  )
  const uncertaintySamples = traces.map((trace, t) => {
    if (lagSamples[t] === null || trace.source === task.reference)
      return trace.source === task.reference ? 0 : null
    const own = direct
      .filter(p => p.second === t)
      .sort((a, b) => a.estimate!.uncertaintySamples - b.estimate!.uncertaintySamples)[0]
    const lags = without.map(found => lagOf(found, t) - middle(found))
    if (own === undefined) return jackknifeError(lags)
    return statedError(lags, own.estimate!.expectedSamples, own.estimate!.boundSamples)
  })
  const residuals = used.map((p, i) => values[i]! - (lagOf(solution, p.second) - lagOf(solution, p.first)))
  const loops = used.length - unknowns.length
  const misfitSamples = traces.map((_, t) =>
    used.reduce(
      (most, p, i) => (p.first === t || p.second === t ? Math.max(most, Math.abs(residuals[i]!)) : most),
      0,
    ),
  )
  return {
    lagSamples,
    uncertaintySamples,
    closureSamples:
      loops > 0 && solution !== null
        ? Math.sqrt(residuals.reduce((sum, r) => sum + r * r, 0) / used.length)
        : null,
    misfitSamples,
  }
}

/** A pair that tells nothing, of an unrelated track, weighs this part of the best: less, and the others could not be solved beside it. */
const LEAST_WEIGHT = 1e-9

const weightsOf = (pairs: readonly MeasuredPair[]): number[] => {
  const weights = pairs.map(weightOf)
  const least = LEAST_WEIGHT * Math.max(0, ...weights)
  return weights.map(weight => Math.max(least, weight))
}

const weightOf = (pair: MeasuredPair): number => {
  const { uncertaintySamples, spreadSamples } = pair.estimate!
  const own = SPREAD_PART * spreadSamples
  return 1 / Math.max(1e-12, uncertaintySamples * uncertaintySamples + own * own)
}

// Pairs without the reference count where they are clear and their polarity fits that of both direct pairs.
const credibleOthers = (measured: MeasuredTraces, direct: readonly MeasuredPair[]): MeasuredPair[] => {
  const clear = (p: MeasuredPair): boolean =>
    p.estimate !== null && p.estimate.score > CREDIBLE_SCORE && p.estimate.prominence > CREDIBLE_PROMINENCE
  const signs = new Map<number, number>()
  for (const p of direct) if (clear(p)) signs.set(p.second, p.estimate!.sign)
  return measured.pairs.filter(p => {
    if (measured.traces[p.first]!.source === measured.task.reference) return false
    const first = signs.get(p.first)
    const second = signs.get(p.second)
    return clear(p) && first !== undefined && second !== undefined && p.estimate!.sign === first * second
  })
}

const tiedTraces = (pairs: readonly MeasuredPair[], origin: number): Set<number> => {
  const tied = new Set([origin])
  for (let grown = true; grown; ) {
    grown = false
    for (const p of pairs) {
      if (tied.has(p.first) !== tied.has(p.second)) {
        tied.add(p.first)
        tied.add(p.second)
        grown = true
      }
    }
  }
  return tied
}
