import { describe, expect, test } from 'vitest'
import {
  type BandPhases,
  bandPhases,
  joinedPhases,
  phaseVariance,
} from '../../../src/measure/time/band-phases.js'
import { type LagCurve, lagCurve } from '../../../src/measure/time/lag-curve.js'
import { furtherMotion, longestStretch, movement, still } from '../../../src/measure/time/motion.js'
import { relativeLag } from '../../../src/measure/time/relative-lag.js'
import { gaussian } from '../../corpus/random.js'

/* A lag over time from phases that are a formula: bands from 100 Hz to 3.9 kHz at 8 kHz, γ² of 0.9 from 100 values each. */

const RATE = 8000
const OMEGAS = Float64Array.from({ length: 20 }, (_, b) => (2 * Math.PI * (100 + 200 * b)) / RATE)
const DEGREES = 100
const GAMMA_SQUARED = 0.9
/** The path's own phase in every band: it stays and must cancel. */
const own = gaussian('own phase')
const PATH = Array.from(OMEGAS, () => 2 * own())

/** One stretch of time, later by `lag` frames; `noise`: radians rms, per band. */
const phasesAt = (lag: number, noise = 0, seed = ''): BandPhases => {
  const next = gaussian(`phases ${seed}`)
  const cross = new Float64Array(2 * OMEGAS.length)
  OMEGAS.forEach((omega, b) => {
    const phase = PATH[b]! - omega * lag + noise * next()
    cross[2 * b] = Math.sqrt(GAMMA_SQUARED) * Math.cos(phase)
    cross[2 * b + 1] = Math.sqrt(GAMMA_SQUARED) * Math.sin(phase)
  })
  return {
    cross,
    level: new Float64Array(OMEGAS.length).fill(1),
    degrees: new Float64Array(OMEGAS.length).fill(DEGREES),
  }
}

const VARIANCE = (() => {
  const gamma = (GAMMA_SQUARED - 1 / DEGREES) / (1 - 1 / DEGREES)
  return (1 - gamma) / (2 * DEGREES * gamma)
})()

describe('phases of a band', () => {
  test('vary by (1 − γ²) / 2Kγ² with chance taken off, infinitely within chance', () => {
    const one = (raw: number, degrees: number, level = 1): number =>
      phaseVariance(
        {
          cross: Float64Array.of(0, Math.sqrt(raw)),
          level: Float64Array.of(level),
          degrees: Float64Array.of(degrees),
        },
        0,
      )
    // γ² = (0.5 − 0.05) / 0.95
    expect(one(0.5, 20)).toBeCloseTo((1 - 0.45 / 0.95) / (40 * (0.45 / 0.95)), 12)
    expect(one(0.15, 20)).toBe(Number.POSITIVE_INFINITY)
    expect(one(0.25, 20)).toBeLessThan(0.2)
    expect(one(0.5, 20, 0)).toBe(Number.POSITIVE_INFINITY)
    expect(one(1, 1e6)).toBe(1e-6)
    expect(phaseVariance(phasesAt(3), 4)).toBeCloseTo(VARIANCE, 9)
  })

  test('are taken from sums: energies rooted, values by the width of the band', () => {
    const sums = {
      cross: Float32Array.of(1, 2, 3, 4),
      first: Float32Array.of(4, 9),
      second: Float32Array.of(16, 1),
    }
    const found = bandPhases(sums, [10, 16, 17], 3)
    expect([...found.cross]).toEqual([1, 2, 3, 4])
    expect([...found.level]).toEqual([8, 3])
    expect([...found.degrees]).toEqual([12, 2])
    expect([...bandPhases(sums as never, [10, 16, 17], 0.1).degrees]).toEqual([1, 1])
  })

  test('add up when each is turned by its own lag', () => {
    const whole = joinedPhases([phasesAt(3), phasesAt(-5), phasesAt(-5)], [3, -5, -5], OMEGAS)
    const one = phasesAt(0)
    OMEGAS.forEach((_, b) => {
      expect(whole.cross[2 * b]).toBeCloseTo(3 * one.cross[2 * b]!, 9)
      expect(whole.cross[2 * b + 1]).toBeCloseTo(3 * one.cross[2 * b + 1]!, 9)
      expect([whole.level[b], whole.degrees[b]]).toEqual([3, 300])
    })
  })
})

describe('one stretch of time against another', () => {
  const information = OMEGAS.reduce((sum, omega) => sum + (omega * omega) / (2 * VARIANCE + 0.0625), 0)

  test('is later by what the bands have in common, whatever phase each has by itself', () => {
    for (const lag of [0, 5.3, -17.25, 31]) {
      const found = relativeLag(phasesAt(lag + 2), phasesAt(2), OMEGAS, 40)
      expect(Math.abs(found.lagSamples - lag)).toBeLessThan(1e-5)
      expect(found.score).toBeCloseTo(1, 9)
      // Phases that fit perfectly lower the error to the root of a twentieth.
      expect(found.errorSamples).toBeCloseTo(Math.sqrt(0.05 / information), 9)
    }
  })

  test('is as uncertain as it scatters', () => {
    const noise = 0.4
    const found = Array.from({ length: 60 }, (_, i) =>
      relativeLag(phasesAt(4, noise, `a ${i}`), phasesAt(0, noise, `b ${i}`), OMEGAS, 40),
    )
    const rms = (values: readonly number[]): number =>
      Math.sqrt(values.reduce((sum, v) => sum + v * v, 0) / values.length)
    const errors = rms(found.map(({ lagSamples }) => lagSamples - 4))
    const stated = rms(found.map(({ errorSamples }) => errorSamples))
    // Sixty errors tell their own size to a tenth.
    expect(Math.abs(stated / errors - 1)).toBeLessThan(0.3)
  })

  test('cannot be told by two bands', () => {
    const few = (bands: number): BandPhases => {
      const all = phasesAt(3)
      return { ...all, level: all.level.map((v, b) => (b < bands ? v : 0)) }
    }
    expect(relativeLag(few(2), phasesAt(0), OMEGAS, 40)).toEqual({
      lagSamples: 0,
      errorSamples: Number.POSITIVE_INFINITY,
      score: 0,
    })
    expect(Math.abs(relativeLag(few(3), phasesAt(0), OMEGAS, 40).lagSamples - 3)).toBeLessThan(1e-5)
  })
})

const curveOf = (lagAt: (second: number) => number, count = 20, noise = 0.02): LagCurve | null =>
  lagCurve(
    Array.from({ length: count }, (_, i) => ({
      atSeconds: i + 0.5,
      phases: phasesAt(lagAt(i + 0.5), noise, `block ${i}`),
    })),
    OMEGAS,
    40,
  )

describe('a curve over the take', () => {
  test('is flat where nothing moves', () => {
    const curve = curveOf(() => 7)!
    expect(curve).toMatchObject({ compared: 1, drift: null, steps: [] })
    expect(curve.blocks).toHaveLength(20)
    // Against the whole of the take, whose lag is taken off already.
    for (const { lagSamples } of curve.blocks) expect(Math.abs(lagSamples)).toBeLessThan(0.1)
    expect(Math.abs(curve.model(3) - curve.model(17))).toBe(0)
    expect(curve.swaySamples).toBeLessThan(0.1)
  })

  test('is a line where it drifts', () => {
    const curve = curveOf(second => 0.05 * second)!
    expect(curve.steps).toEqual([])
    expect(Math.abs(curve.drift!.slope - 0.05)).toBeLessThan(0.003)
    expect(Math.abs(curve.line!.slope - 0.05)).toBeLessThan(0.003)
    expect(curve.drift!.error).toBeGreaterThan(0)
    expect(curve.drift!.error).toBeLessThan(0.003)
    expect(Math.abs(curve.model(18) - curve.model(2) - 0.8)).toBeLessThan(0.05)
  })

  test('is stairs where it jumps, up to the blocks between which it does', () => {
    const curve = curveOf(second => (second < 6 ? 0 : second < 14 ? 12 : 5))!
    expect(curve.drift).toBeNull()
    expect(curve.steps.map(({ atSeconds }) => atSeconds)).toEqual([6, 14])
    const [up, down] = curve.steps
    expect(Math.abs(up!.toSamples - up!.fromSamples - 12)).toBeLessThan(0.2)
    expect(Math.abs(down!.toSamples - down!.fromSamples + 7)).toBeLessThan(0.2)
    expect(Math.abs(curve.model(5.9) - curve.model(0))).toBe(0)
    expect(Math.abs(curve.model(6.1) - curve.model(5.9) - 12)).toBeLessThan(0.2)
    expect(curve.swaySamples).toBeLessThan(0.2)
  })

  test('has no step of less than three frames, nor of a single block', () => {
    expect(curveOf(second => (second < 13 ? 0 : 2.5))!.steps).toEqual([])
    expect(curveOf(second => (second < 13 ? 0 : 5))!.steps).toHaveLength(1)
    expect(curveOf(second => (Math.floor(second) === 10 ? 12 : 0))!.steps).toEqual([])
  })

  test('is none of fewer than four blocks', () => {
    expect(curveOf(() => 0, 3)).toBeNull()
    expect(curveOf(() => 0, 4)).not.toBeNull()
  })

  test('has no line through less than five seconds', () => {
    expect(curveOf(second => 0.5 * second, 5)!.line).toBeNull()
    expect(curveOf(second => 0.5 * second, 7)!.line).not.toBeNull()
  })
})

describe('what is followed of it', () => {
  const at = (motion: ReturnType<typeof furtherMotion>, second: number): number => {
    const knots = motion!.schedule as readonly { readonly atSeconds: number; readonly shiftSamples: number }[]
    const after = knots.findIndex(({ atSeconds }) => atSeconds > second)
    const [a, b] = [knots[after - 1]!, knots[after]!]
    return (
      a.shiftSamples +
      ((b.shiftSamples - a.shiftSamples) * (second - a.atSeconds)) / (b.atSeconds - a.atSeconds)
    )
  }

  test('nothing where it moves by less than 0.4 frames', () => {
    expect(furtherMotion(still(100), 0.5, curveOf(() => 0)!)).toBeNull()
    expect(furtherMotion(still(100), 0.5, curveOf(second => 0.01 * second)!)).toBeNull()
  })

  test('a drift: on top of what was followed, anchored at the first sound', () => {
    const curve = curveOf(second => 0.05 * second)!
    const motion = furtherMotion(still(100), 0.5, curve)!
    expect(motion.steps).toEqual([])
    expect(Math.abs(motion.slope - 0.05)).toBeLessThan(0.003)
    for (const second of [0.5, 5, 19.5])
      expect(Math.abs(at(motion, second) - 100.5 - curve.model(second))).toBeLessThan(1e-6)
    expect(motion.anchorSamples).toBeCloseTo(100.5 + curve.model(0.5), 9)
  })

  test('steps: at once, anchored in the middle of the longest stretch', () => {
    const curve = curveOf(second => (second < 6 ? 0 : 12))!
    const motion = furtherMotion(still(100), 0, curve)!
    expect(motion.steps).toHaveLength(1)
    expect(motion.steps[0]!.atSeconds).toBe(6)
    expect(motion.steps[0]!.toSamples - motion.steps[0]!.fromSamples).toBeCloseTo(
      curve.model(7) - curve.model(5),
      6,
    )
    expect(motion.slope).toBe(0)
    expect(motion.anchorSamples).toBeCloseTo(100 + curve.model(13), 6)
    expect(at(motion, 5.9)).toBeCloseTo(100 + curve.model(5.9), 6)
    expect(at(motion, 6.1)).toBeCloseTo(100 + curve.model(6.1), 6)
  })

  test('what is left of each stretch between steps that are followed already', () => {
    const before = furtherMotion(still(100), 0, curveOf(second => (second < 6 ? 0 : 12))!)!
    const motion = furtherMotion(before, 0, curveOf(second => (second < 6 ? 0.4 : -0.5))!)!
    expect(motion.steps).toEqual(before.steps)
    const height = (one: typeof motion): number => at(one, 12) - at(one, 3)
    expect(Math.abs(height(motion) - height(before) + 0.9)).toBeLessThan(0.1)
    expect(at(motion, 5.9)).toBe(at(motion, 3))
    expect(furtherMotion(before, 0, curveOf(second => (second < 6 ? 0.1 : -0.1))!)).toBeNull()
  })

  test('how far a motion goes during a take', () => {
    expect(movement(still(100), 20)).toBe(0)
    const stairs = furtherMotion(still(100), 0, curveOf(second => (second < 6 ? 0 : 12))!)!
    expect(Math.abs(movement(stairs, 20) - 12)).toBeLessThan(0.2)
    expect(movement(stairs, 5)).toBe(0)
    const drift = furtherMotion(still(100), 0, curveOf(second => 0.05 * second)!)!
    expect(Math.abs(movement(drift, 20) - 1)).toBeLessThan(0.1)
  })

  test('a slow sway is no step: it is told as what the blocks wander by', () => {
    const curve = curveOf(second => 1.3 * Math.sin((2 * Math.PI * second) / 20))!
    expect(curve.steps).toEqual([])
    expect(curve.swaySamples).toBeGreaterThan(0.3)
    expect(curve.swaySamples).toBeLessThan(2.6)
  })

  test('the middle of the longest stretch between steps', () => {
    const step = (atSeconds: number) => ({ atSeconds, fromSamples: 0, toSamples: 1 })
    expect(longestStretch([], 2, 10)).toBe(6)
    expect(longestStretch([step(3)], 2, 10)).toBe(6.5)
    expect(longestStretch([step(7), step(8)], 2, 10)).toBe(4.5)
  })
})
