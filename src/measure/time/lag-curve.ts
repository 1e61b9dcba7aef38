import { median, medianAbsoluteDeviation, weightedLeastSquares } from '../../signal/statistics.js'
import * as portable from '../../terms/portable.js'
import { type BandPhases, joinedPhases } from './band-phases.js'
import { relativeLag } from './relative-lag.js'

/** A block of the take. */
export interface TimedPhases {
  readonly atSeconds: number
  readonly phases: BandPhases
}

export interface BlockLag {
  readonly atSeconds: number
  /** Against the arrival of the whole, frames. */
  readonly lagSamples: number
  readonly errorSamples: number
}

/** Jump of the lag between two blocks. */
export interface LagStep {
  readonly atSeconds: number
  readonly fromSamples: number
  readonly toSamples: number
}

/** How the lag runs over the take, against the arrival of the whole. */
export interface LagCurve {
  readonly blocks: readonly BlockLag[]
  /** Part of the blocks in which both sound whose lag could be compared, 0 … 1: the rest shares nothing near this lag. */
  readonly compared: number
  /** Frames per second, with its standard error; null where it is not clear of 0 by three of them. */
  readonly drift: { readonly slope: number; readonly error: number } | null
  /** The straight line through the blocks, clear of 0 or not. */
  readonly line: { readonly slope: number; readonly error: number } | null
  readonly steps: readonly LagStep[]
  /** What is left of the blocks beyond their errors, rms frames. */
  readonly swaySamples: number
  /** Knots of the model: constant, line or stairs. */
  readonly model: (seconds: number) => number
}

const LEAST_BLOCKS = 4
const STEP_FRAMES = 3
const STEP_ERRORS = 6
const STEP_SCATTERS = 4.5
const ROUNDS = 3

/** Fits constant, line or stairs to a take; null with fewer than four blocks that can be compared. */
export const lagCurve = (
  blocks: readonly TimedPhases[],
  omegas: Float64Array,
  reach: number,
): LagCurve | null => {
  let model: (seconds: number) => number = () => 0
  let found: Fit | null = null
  for (let round = 0; round < ROUNDS; round++) {
    const measured = blockLags(blocks, omegas, model, reach)
    if (measured.length < LEAST_BLOCKS) return null
    found = fit(measured, blocks, omegas, reach)
    const next = found.model
    const moved = Math.max(...measured.map(b => Math.abs(next(b.atSeconds) - model(b.atSeconds))))
    model = next
    if (moved < 0.02) break
  }
  return found === null ? null : { ...found, compared: found.blocks.length / blocks.length }
}

interface Fit extends LagCurve {
  readonly cost: number
}

// Every block against the whole, which is turned by the model first so that its parts add up.
const blockLags = (
  blocks: readonly TimedPhases[],
  omegas: Float64Array,
  model: (seconds: number) => number,
  reach: number,
): BlockLag[] => {
  const whole = joinedPhases(
    blocks.map(b => b.phases),
    blocks.map(b => model(b.atSeconds)),
    omegas,
  )
  return blocks.flatMap(({ atSeconds, phases }) => {
    const expected = model(atSeconds)
    const turned = joinedPhases([phases], [expected], omegas)
    const { lagSamples, errorSamples, score } = relativeLag(turned, whole, omegas, reach)
    return Number.isFinite(errorSamples) && score > 0.3
      ? [{ atSeconds, lagSamples: expected + lagSamples, errorSamples }]
      : []
  })
}

const fit = (
  measured: readonly BlockLag[],
  blocks: readonly TimedPhases[],
  omegas: Float64Array,
  reach: number,
): Fit => {
  const flat = level(measured)
  const constant = finished(measured, () => flat, null, [])
  const line = straight(measured)
  const stairs = staircase(measured, blocks, omegas, reach)
  // A model with more freedom must explain clearly more.
  const price = 6 + 2 * portable.log(measured.length)
  let best = constant
  if (line !== null && line.cost + price < best.cost) best = line
  if (stairs !== null && stairs.cost + price * stairs.steps.length < best.cost - (best === line ? price : 0))
    best = stairs
  const told =
    best === constant && line?.drift != null ? { ...constant, drift: line.drift, model: line.model } : best
  return { ...told, line: line?.line ?? null }
}

const level = (measured: readonly BlockLag[]): number => {
  const weights = measured.map(b => 1 / (b.errorSamples * b.errorSamples))
  return (
    measured.reduce((sum, b, i) => sum + weights[i]! * b.lagSamples, 0) / weights.reduce((s, w) => s + w, 0)
  )
}

/** Errors of the blocks with what they scatter beyond them. */
const robustScatter = (measured: readonly BlockLag[], model: (s: number) => number): number =>
  1.4826 * medianAbsoluteDeviation(measured.map(b => b.lagSamples - model(b.atSeconds)))

const finished = (
  measured: readonly BlockLag[],
  model: (s: number) => number,
  drift: LagCurve['drift'],
  steps: readonly LagStep[],
  line: LagCurve['line'] = null,
): Fit => {
  let cost = 0
  let excess = 0
  for (const b of measured) {
    const left = b.lagSamples - model(b.atSeconds)
    const ratio = (left * left) / (b.errorSamples * b.errorSamples)
    // One wild block must not buy a model.
    cost += Math.min(ratio, 25)
    excess +=
      Math.min(left * left, 25 * b.errorSamples * b.errorSamples + 100) - b.errorSamples * b.errorSamples
  }
  return {
    blocks: measured,
    compared: 1,
    drift,
    line,
    steps,
    swaySamples: Math.sqrt(Math.max(0, excess / measured.length)),
    model,
    cost,
  }
}

const straight = (measured: readonly BlockLag[]): Fit | null => {
  const middle = measured.reduce((s, b) => s + b.atSeconds, 0) / measured.length
  let weights = measured.map(b => 1 / (b.errorSamples * b.errorSamples + 1e-6))
  let offset = level(measured)
  let slope = 0
  let error = Number.POSITIVE_INFINITY
  for (let round = 0; round < 4; round++) {
    const solved = weightedLeastSquares(
      measured.map(b => [1, b.atSeconds - middle]),
      measured.map(b => b.lagSamples),
      weights,
    )
    if (solved === null) return null
    offset = solved.solution[0]!
    slope = solved.solution[1]!
    const scatter = Math.max(1, solved.residual / Math.max(1, measured.length - 2))
    const left = measured.map(b => b.lagSamples - offset - slope * (b.atSeconds - middle))
    error = Math.sqrt(solved.covariance[1]![1]! * scatter * memory(left))
    const wide = 3 * 1.4826 * Math.max(1e-3, medianAbsoluteDeviation(left))
    weights = measured.map((b, i) => {
      const own = 1 / (b.errorSamples * b.errorSamples + 1e-6)
      return Math.abs(left[i]!) > wide ? own * (wide / Math.abs(left[i]!)) : own
    })
  }
  const drift = Math.abs(slope) > 3 * error ? { slope, error } : null
  return finished(measured, s => offset + slope * (s - middle), drift, [], { slope, error })
}

// Neighbouring residuals that resemble each other (sway) carry less news: (1 + r) / (1 - r) for a lag-one correlation r.
const memory = (left: readonly number[]): number => {
  let product = 0
  let square = 0
  for (let i = 1; i < left.length; i++) product += left[i]! * left[i - 1]!
  for (const l of left) square += l * l
  const r = square > 0 ? Math.max(0, Math.min(0.9, product / square)) : 0
  return (1 + r) / (1 - r)
}

// Stairs by splitting where it helps most, as long as like bands on both sides confirm the step.
const staircase = (
  measured: readonly BlockLag[],
  blocks: readonly TimedPhases[],
  omegas: Float64Array,
  reach: number,
): Fit | null => {
  const cuts = [0, measured.length]
  const steps: { cut: number }[] = []
  for (let count = 0; count < 12; count++) {
    const best = bestSplit(measured, cuts)
    if (best === null || !confirmed(measured, blocks, omegas, cuts, best, reach)) break
    cuts.push(best)
    cuts.sort((a, b) => a - b)
    steps.push({ cut: best })
  }
  if (steps.length === 0) return null
  const levels = cuts.slice(1).map((end, i) => median(measured.slice(cuts[i], end).map(b => b.lagSamples)))
  const edges = cuts.slice(1, -1).map(c => (measured[c - 1]!.atSeconds + measured[c]!.atSeconds) / 2)
  const model = (seconds: number): number => {
    const at = edges.findIndex(e => seconds < e)
    return levels[at < 0 ? levels.length - 1 : at]!
  }
  const scatter = robustScatter(measured, model)
  const told = edges.map((atSeconds, i) => ({
    atSeconds,
    fromSamples: levels[i]!,
    toSamples: levels[i + 1]!,
  }))
  const small = told.some(
    s => Math.abs(s.toSamples - s.fromSamples) < Math.max(STEP_FRAMES, STEP_SCATTERS * scatter),
  )
  return small ? null : finished(measured, model, null, told)
}

const LEAST_SIDE = 2

// Where two levels instead of one save most squares.
const bestSplit = (measured: readonly BlockLag[], cuts: readonly number[]): number | null => {
  const sums = new Float64Array(measured.length + 1)
  measured.forEach((b, i) => {
    sums[i + 1] = sums[i]! + b.lagSamples
  })
  const mean = (from: number, to: number): number => (sums[to]! - sums[from]!) / (to - from)
  let best: number | null = null
  let most = 0
  for (let i = 0; i + 1 < cuts.length; i++) {
    const from = cuts[i]!
    const to = cuts[i + 1]!
    for (let cut = from + LEAST_SIDE; cut <= to - LEAST_SIDE; cut++) {
      const apart = mean(cut, to) - mean(from, cut)
      // Squares that two levels save over one.
      const gain = (((cut - from) * (to - cut)) / (to - from)) * apart * apart
      if (gain > most) {
        most = gain
        best = cut
      }
    }
  }
  return best
}

const confirmed = (
  measured: readonly BlockLag[],
  blocks: readonly TimedPhases[],
  omegas: Float64Array,
  cuts: readonly number[],
  cut: number,
  reach: number,
): boolean => {
  const from = cuts.filter(c => c <= cut).pop()!
  const to = cuts.find(c => c > cut)!
  const stretch = (a: number, b: number): BandPhases => {
    const first = measured[a]!.atSeconds
    const last = measured[b - 1]!.atSeconds
    const inside = blocks.filter(x => x.atSeconds >= first && x.atSeconds <= last)
    return joinedPhases(
      inside.map(x => x.phases),
      inside.map(() => 0),
      omegas,
    )
  }
  const before = stretch(Math.max(from, cut - 12), cut)
  const after = stretch(cut, Math.min(to, cut + 12))
  const { lagSamples, errorSamples, score } = relativeLag(after, before, omegas, reach)
  const seen =
    median(measured.slice(cut, Math.min(to, cut + 12)).map(m => m.lagSamples)) -
    median(measured.slice(Math.max(from, cut - 12), cut).map(m => m.lagSamples))
  return (
    score > 0.4 &&
    Math.abs(lagSamples) >= Math.max(STEP_FRAMES, STEP_ERRORS * errorSamples) &&
    Math.abs(lagSamples - seen) < Math.max(2, 0.5 * Math.abs(seen))
  )
}
