import { turns as turned } from '../../signal/turns.js'
import * as portable from '../../terms/portable.js'
import { type BandPhases, phaseVariance } from './band-phases.js'

/** How much later one stretch of time is than another. */
export interface RelativeLag {
  readonly lagSamples: number
  /** One standard error; infinite where nothing can be compared. */
  readonly errorSamples: number
  /** Part of the weight that lines up there, at most 1. */
  readonly score: number
}

/** A band's phase wanders by this much from moment to moment in a real path whatever its noise, rad: reflections beat with the notes. */
const OWN_PHASE = 0.25
const GOOD_START = 0.75
/** Phases that fit better than their weights let expect lower the error, down to this part of its square. */
const LEAST_MISFIT = 0.05

/**
 * Compares like bands with like: the phase that the path gives a band by itself is in both stretches and cancels, so that a
 * change of register does not look like a change of lag. Maximum of `sum w cos(phase difference + omega lag)` within `reach`,
 * weights 1 / (variance of both + own).
 */
export const relativeLag = (
  later: BandPhases,
  reference: BandPhases,
  omegas: Float64Array,
  reach: number,
): RelativeLag => {
  const phases: number[] = []
  const weights: number[] = []
  const turns: number[] = []
  let total = 0
  let fastest = 0
  for (let b = 0; b < omegas.length; b++) {
    const variance = phaseVariance(later, b) + phaseVariance(reference, b)
    if (!Number.isFinite(variance) || variance > 1) continue
    const re =
      later.cross[2 * b]! * reference.cross[2 * b]! + later.cross[2 * b + 1]! * reference.cross[2 * b + 1]!
    const im =
      later.cross[2 * b + 1]! * reference.cross[2 * b]! - later.cross[2 * b]! * reference.cross[2 * b + 1]!
    const weight = 1 / (variance + OWN_PHASE * OWN_PHASE)
    phases.push(portable.atan2(im, re))
    weights.push(weight)
    turns.push(omegas[b]!)
    total += weight
    fastest = Math.max(fastest, omegas[b]!)
  }
  if (phases.length < 3) return { lagSamples: 0, errorSamples: Number.POSITIVE_INFINITY, score: 0 }
  const left = leftPhases(phases, turns)
  const value = (lag: number): number => {
    const { cosines } = left(lag)
    let sum = 0
    for (let i = 0; i < phases.length; i++) sum += weights[i]! * cosines[i]!
    return sum
  }
  let start = 0
  let most = value(0)
  if (most < GOOD_START * total) {
    const step = Math.PI / 2 / fastest
    for (let lag = -reach; lag <= reach; lag += step) {
      const here = value(lag)
      if (here > most) {
        most = here
        start = lag
      }
    }
  }
  const lagSamples = settle(left, weights, turns, start)
  let information = 0
  let misfit = 0
  const { cosines } = left(lagSamples)
  for (let i = 0; i < phases.length; i++) {
    information += weights[i]! * turns[i]! * turns[i]!
    misfit += weights[i]! * (2 - 2 * cosines[i]!)
  }
  const scatter = Math.max(LEAST_MISFIT, misfit / Math.max(1, phases.length - 1))
  return { lagSamples, errorSamples: Math.sqrt(scatter / information), score: value(lagSamples) / total }
}

/** Cosine and sine of what is left of every phase at a lag; good until the next one is asked for. */
type LeftPhases = (lag: number) => { readonly cosines: Float64Array; readonly sines: Float64Array }

const leftPhases = (phases: readonly number[], turns: readonly number[]): LeftPhases => {
  const angles = new Float64Array(phases.length)
  const found = { cosines: new Float64Array(phases.length), sines: new Float64Array(phases.length) }
  return lag => {
    for (let i = 0; i < angles.length; i++) angles[i] = phases[i]! + turns[i]! * lag
    turned(angles, found.cosines, found.sines)
    return found
  }
}

// Newton on the slope from a start within the right top; steps are kept within an eighth of the fastest cycle.
const settle = (
  left: LeftPhases,
  weights: readonly number[],
  turns: readonly number[],
  start: number,
): number => {
  let lag = start
  const fastest = Math.max(...turns)
  for (let round = 0; round < 20; round++) {
    let slope = 0
    let curvature = 0
    const { cosines, sines } = left(lag)
    for (let i = 0; i < turns.length; i++) {
      slope -= weights[i]! * turns[i]! * sines[i]!
      curvature -= weights[i]! * turns[i]! * turns[i]! * cosines[i]!
    }
    const limit = Math.PI / 4 / fastest
    const wish = curvature < 0 ? -slope / curvature : Math.sign(slope) * limit
    const step = Math.max(-limit, Math.min(limit, wish))
    lag += step
    if (Math.abs(step) < 1e-6) break
  }
  return lag
}
