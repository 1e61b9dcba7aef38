import { describe, expect, test } from 'vitest'
import { countSteps } from '../../../bench/over-time/promised-steps.js'
import { lagKnots, valueAt } from '../../../src/decide/follow.js'
import { MOVING_RATE_HZ, type MovingKind, measureMoving, movingCase } from '../../corpus/moving-cases.js'

const SECONDS = 16
/** A loudspeaker's own delay: up to 0.2 ms late (the arrival's allowance in docs/measuring.md). */
const OWN_FRAMES = 9.6

const told = async (kind: MovingKind, seed = 'test') => {
  const c = movingCase(kind, seed, SECONDS)
  const result = await measureMoving(c)
  expect(result).not.toBeNull()
  return { c, result: result! }
}

/** Errors of the lag over time; what all have in common is the path's own delay. */
const errorsOf = ({ c, result }: Awaited<ReturnType<typeof told>>): number[] =>
  (result.lagOverTime ?? []).map(b => b.lagSamples - c.lagAt(b.atSeconds))

/** The shift that rendering would follow, held against the truth at many times; frames apart from a constant. */
const followError = (
  { c, result }: Awaited<ReturnType<typeof told>>,
  follow: 'drift' | 'steps',
  beside: number,
): { compared: number; worst: number; own: number } => {
  const knots = lagKnots({
    ...{ follow, lagSamples: result.lagSamples, sampleRateHz: MOVING_RATE_HZ, stepSeconds: null },
    measured: { ...result, frames: c.source.length, startOffsetSamples: 0 },
  })
  expect(knots).not.toBeNull()
  const times = Array.from({ length: 60 }, (_, i) => (SECONDS * (i + 0.5)) / 60).filter(
    t => c.step === null || Math.abs(t - c.step.atSeconds) > beside,
  )
  const off = times.map(t => valueAt(knots!, t) - c.lagAt(t))
  const own = off.reduce((sum, o) => sum + o, 0) / off.length
  return { compared: off.length, worst: Math.max(...off.map(o => Math.abs(o - own))), own }
}

test('a still take: no drift, no step, no sway to speak of', async () => {
  const found = await told('still')
  expect(found.result).toMatchObject({ drift: null, steps: [], verdict: 'sure' })
  expect(found.result.swaySamples!).toBeLessThan(0.5)
  const errors = errorsOf(found)
  expect(errors.length).toBeGreaterThan(10)
  for (const error of errors) expect(Math.abs(error)).toBeLessThan(5)
})

test('a change of register through a path with its own group delay is no step and no drift', async () => {
  const { result } = await told('register')
  expect(result).toMatchObject({ drift: null, steps: [] })
  expect(result.lagOverTime!.length).toBeGreaterThan(10)
})

// Once 0.25 ms early: weights that left out what the loudspeaker adds to a loud bass led the first turn away from the wavefront.
test('a loud bass through a loudspeaker does not draw the lag away from the wavefront', async () => {
  const c = movingCase('register', 'figures 40 21', 40)
  const result = await measureMoving(c)
  expect(Math.abs(result!.lagSamples - c.lagAt(0))).toBeLessThan(2)
})

describe('clock drift', () => {
  test('is told within its errors, and what follows it is right throughout', async () => {
    const found = await told('drift')
    const { c, result } = found
    expect(result.drift).not.toBeNull()
    expect(Math.abs(result.drift!.ppm - c.ppm)).toBeLessThan(
      Math.max(0.2, 3.3 * result.drift!.uncertaintyPpm),
    )
    const { compared, worst, own } = followError(found, 'drift', 0)
    expect(compared).toBe(60)
    expect(worst).toBeLessThan(0.25)
    expect(Math.abs(own)).toBeLessThan(OWN_FRAMES)
  })

  test('of up to 200 ppm does not spoil the lag, which is that at the first sound', async () => {
    const found = await told('fast-drift')
    const { c, result } = found
    expect(Math.abs(c.ppm)).toBeGreaterThan(30)
    expect(Math.abs(result.drift!.ppm - c.ppm)).toBeLessThan(1)
    const first = result.lagOverTime![0]!
    expect(Math.abs(result.lagSamples - c.lagAt(first.atSeconds))).toBeLessThan(OWN_FRAMES)
    expect(result.verdict).toBe('sure')
    const { compared, worst, own } = followError(found, 'drift', 0)
    expect(compared).toBe(60)
    expect(worst).toBeLessThan(0.5)
    expect(Math.abs(own)).toBeLessThan(OWN_FRAMES)
  })
})

describe.each(['step', 'jump'] as const)('a %s', kind => {
  test('is found where it is, nothing else, and what follows it is right on both sides', async () => {
    const found = await told(kind)
    expect(countSteps(found.c, found.result)).toEqual({ found: true, wrong: 0 })
    // Off the step by where it may be told (1.5 s) and by the slew, which bends the pitch by 0.3 % at most.
    const slew = Math.abs(found.c.step!.bySamples) / (2 * 0.003 * MOVING_RATE_HZ)
    const { compared, worst, own } = followError(found, 'steps', 1.5 + slew)
    expect(compared).toBeGreaterThan(20)
    expect(worst).toBeLessThan(0.5)
    expect(Math.abs(own)).toBeLessThan(OWN_FRAMES)
  })
})

test('a player who sways is told as sway, not as steps', async () => {
  const found = await told('sway', 'test 3')
  expect(found.result.steps).toEqual([])
  // 4.2 frames up and down: 2.97 rms, of which blocks of 0.85 s keep 0.95 (sinc, computed).
  expect(found.result.swaySamples!).toBeGreaterThan(2.2)
  expect(found.result.swaySamples!).toBeLessThan(3.6)
  expect(errorsOf(found).length).toBeGreaterThan(10)
})

// Notes that repeat leave faint peaks at the old place after the jump (the first); levels are first known to a frame only (the second).
test.each(['tune7 40 0', 'tune7 40 3'])(
  'a stand that is moved by metres, %s: one step of the right size',
  async seed => {
    const c = movingCase('jump', seed, 40)
    const result = await measureMoving(c)
    expect(result).not.toBeNull()
    expect(result!.steps).toHaveLength(1)
    expect(countSteps(c, result!)).toEqual({ found: true, wrong: 0 })
  },
)
