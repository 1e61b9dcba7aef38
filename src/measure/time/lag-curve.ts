import { median, medianAbsoluteDeviation } from '../../signal/statistics.js'
import * as portable from '../../terms/portable.js'
import { type BandPhases, joinedPhases } from './band-phases.js'
import type { BlockLag, LagStep } from './block-lag.js'
import { blockLine, clearDrift, wandering } from './block-line.js'
import { relativeLag } from './relative-lag.js'

/** A block of the take. */
export interface TimedPhases {
  readonly atSeconds: number
  readonly phases: BandPhases
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
/** A smaller change is no step, frames. */
export const STEP_FRAMES = 3
const STEP_ERRORS = 6
/** … nor one that does not stand out of what the blocks wander by, robust deviations. */
export const STEP_SCATTERS = 4.5
/** A drift that matters does not show in less; a line through the few short blocks of such a take is chance. */
const DRIFT_SECONDS = 5
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
  // A line that is not clear of level costs less only where the errors of the blocks came out too small: it is not followed.
  if (best === line && best.drift === null) best = constant
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
  for (const b of measured) {
    const left = b.lagSamples - model(b.atSeconds)
    const ratio = (left * left) / (b.errorSamples * b.errorSamples)
    // One wild block must not buy a model.
    cost += Math.min(ratio, 25)
  }
  return {
    blocks: measured,
    compared: 1,
    drift,
    line,
    steps,
    swaySamples: wandering(measured, model),
    model,
    cost,
  }
}

const straight = (measured: readonly BlockLag[]): Fit | null => {
  if (measured[measured.length - 1]!.atSeconds - measured[0]!.atSeconds < DRIFT_SECONDS) return null
  const line = blockLine(measured)
  return line === null ? null : finished(measured, line.at, clearDrift(measured, line), [], line)
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
