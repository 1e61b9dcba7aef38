import { beforeAll, describe, expect, test } from 'vitest'
import { judgeSource } from '../../src/measure/group/judged-source.js'
import { measureTraces } from '../../src/measure/group/measure-traces.js'
import type { MeasuredTraces } from '../../src/measure/group/measured-traces.js'
import { type SolvedLags, solveLags } from '../../src/measure/group/solve.js'
import { type OverTime, overTime } from '../../src/measure/time/over-time.js'
import { inPlace } from '../corpus/in-place.js'
import { whiteNoise } from '../corpus/random.js'
import { delayed } from '../corpus/spectrum.js'

/**
 * A whole group at once, of white noise, where every figure has a formula: one sound in five traces, each with white noise of its own 10.5 dB
 * under it, so that the coherence of any two is (1 / 1.09)². The low rate keeps it quick.
 */
const RATE = 8000
const SECONDS = 8
const N = SECONDS * RATE
const NOISE = 0.3
const COHERENCE = (1 / (1 + NOISE * NOISE)) ** 2

/** Cramér-Rao: 1 / sqrt(2 T ∫ (2 pi f)² γ² / (1 - γ²) df) over 0 … half the rate, in frames. */
const boundSamples = (seconds: number): number => {
  const quality = COHERENCE / (1 - COHERENCE)
  const integral = ((2 * Math.PI) ** 2 * (RATE / 2) ** 3) / 3
  return RATE / Math.sqrt(2 * seconds * quality * integral)
}

const sound = whiteNoise(N, 'sound')
const heard = (gain: number, moved: Float64Array, name: string): Float64Array => {
  const own = whiteNoise(N, name)
  return moved.map((v, n) => gain * (v + NOISE * own[n]!))
}

const measured = async (tracks: readonly (readonly Float64Array[])[]) => {
  const task = {
    sampleRateHz: RATE,
    members: tracks.map((track, i) => ({
      name: `path ${i}`,
      channels: track.length,
      frames: N,
      startFrame: 0,
    })),
    reference: 0,
    searchSeconds: 0.02,
    passage: null,
  }
  const traces = await measureTraces(task, inPlace(tracks))
  return { traces, solved: solveLags(traces) }
}

describe('a reference, a microphone the wrong way round, a pair, a stranger, silence', () => {
  let traces: MeasuredTraces
  let solved: SolvedLags
  beforeAll(async () => {
    ;({ traces, solved } = await measured([
      [heard(1, sound, 'reference')],
      [heard(-0.5, delayed(sound, 31.3), 'microphone')],
      [heard(1, delayed(sound, -12.7), 'left'), heard(2, delayed(sound, -8.7), 'right')],
      [whiteNoise(N, 'stranger')],
      [new Float64Array(N)],
    ]))
  })

  test('lags within four times the bound, of all pairs together, which close as well as that lets them', () => {
    const bound = boundSamples(SECONDS)
    const lags = [0, 31.3, -12.7, -8.7]
    lags.forEach((lag, trace) => {
      expect(Math.abs(solved.lagSamples[trace]! - lag)).toBeLessThan(trace === 0 ? 1e-12 : 4 * bound)
      expect(solved.misfitSamples[trace]!).toBeLessThan(4 * bound)
    })
    for (const error of solved.uncertaintySamples.slice(1, 4)) {
      expect(error!).toBeGreaterThan(0.6 * bound)
      expect(error!).toBeLessThan(1.7 * bound)
    }
    expect(solved.closureSamples!).toBeGreaterThan(0)
    expect(solved.closureSamples!).toBeLessThan(2 * bound)
    expect(solved.lagSamples[5]).toBeNull()
  })

  test('what one pair tells of itself is what the formulas say', () => {
    const best = judgeSource(traces, solved, 1).best!
    const estimate = best.estimate!
    expect([best.first, best.second, estimate.sign]).toEqual([0, 1, -1])
    expect(Math.abs(best.shiftSamples - 31.3)).toBeLessThan(1)
    expect(Math.abs(estimate.boundSamples / boundSamples(SECONDS) - 1)).toBeLessThan(0.05)
    expect(estimate.expectedSamples).toBeGreaterThanOrEqual(estimate.boundSamples)
    expect(estimate.expectedSamples / estimate.boundSamples).toBeLessThan(1.05)
    expect(Math.abs(estimate.coherence - COHERENCE)).toBeLessThan(0.01)
    // All but the lowest hundred hertz, which is taken out.
    expect(Math.abs(estimate.commonEnergy - COHERENCE)).toBeLessThan(0.02)
    expect(Math.abs(estimate.commonHz / (Math.sqrt(COHERENCE) * (RATE / 2)) - 1)).toBeLessThan(0.02)
    expect(Math.abs(estimate.middleHz / (RATE / 4) - 1)).toBeLessThan(0.02)
    expect(estimate.heardToHz).toBe(RATE / 2)
    expect(estimate.phaseSpread).toBeLessThan(0.05)
    expect(estimate.foldShare).toBe(1)
    // A rival of white noise is a side lobe of its own band: 0.22 of a sinc, less where the bottom is missing.
    expect(estimate.peaks[0]!.sign).toBe(-1)
    for (const peak of estimate.peaks.slice(1)) expect(peak.mass / estimate.peaks[0]!.mass).toBeLessThan(0.22)
    expect(estimate.arrivalLossDb).toBeLessThan(0.01)
    expect(estimate.fullness[0]!.lossDb).toBeLessThan(0.01)
    expect(estimate.halves).toHaveLength(2)
    estimate.halves.forEach((half, i) => {
      expect(half.sign).toBe(-1)
      expect(half.agreement).toBeGreaterThan(0.999)
      expect(half.agreement).toBeLessThanOrEqual(1)
      expect(Math.abs(half.excessSamples)).toBeLessThan(0.02)
      expect(Math.abs(half.energyShare - 0.5)).toBeLessThan(0.02)
      // The middle 90 % of either half of 0 … 4 kHz.
      expect(Math.abs(half.fromHz - [100, 2100][i]!)).toBeLessThan(60)
      expect(Math.abs(half.toHz - [1900, 3900][i]!)).toBeLessThan(60)
    })
    expect(estimate.octaves.map(({ middleHz }) => middleHz)).toEqual([250, 500, 1000, 2000, 4000])
    for (const { value } of estimate.octaves) expect(Math.abs(value - 1)).toBeLessThan(0.01)
    expect(Math.abs(estimate.support.share - 1)).toBeLessThan(0.01)
    expect(Math.abs(estimate.support.tiltDb)).toBeLessThan(0.1)
    expect(estimate.support.inPhase).toBeGreaterThan(0.99)
  })

  test('what is told of the microphone', () => {
    const told = judgeSource(traces, solved, 1)
    expect(told).toMatchObject({
      lagSamples: solved.lagSamples[1],
      polarity: 'inverted',
      lagVerdict: 'sure',
      polarityVerdict: 'sure',
      reason: null,
    })
    expect(told.spreadSamples!).toBeLessThan(0.1)
    expect(Math.abs(told.coherence! - COHERENCE)).toBeLessThan(0.01)
    for (const aim of ['arrival', 'fullness'] as const) {
      const own = told.candidates.filter(candidate => candidate.aim === aim)
      expect(own.length).toBeGreaterThan(2)
      expect(Math.abs(own[0]!.lagSamples - 31.3)).toBeLessThan(0.01)
      expect(own[0]!.polarity).toBe('inverted')
      const scores = own.map(({ score }) => score)
      expect(scores).toEqual([...scores].sort((a, b) => b - a))
      for (const score of scores) {
        expect(score).toBeGreaterThan(0)
        expect(score).toBeLessThanOrEqual(1)
      }
    }
    expect(told.candidates.find(({ aim }) => aim === 'fullness')!.score).toBeGreaterThan(0.99)
  })

  test('a linked pair has the mean of its lags, and half their distance in the spread', () => {
    const told = judgeSource(traces, solved, 2)
    expect(Math.abs(told.lagSamples! + 10.7)).toBeLessThan(4 * boundSamples(SECONDS))
    expect(Math.abs(told.spreadSamples! - 2)).toBeLessThan(0.01)
    expect(told).toMatchObject({ polarity: 'normal', lagVerdict: 'sure', polarityVerdict: 'sure' })
  })

  test('a stranger and silence have no lag, and the reason says which', () => {
    for (const [source, reason] of [
      [3, 'shares no more sound'],
      [4, 'nothing is played'],
    ] as const) {
      const told = judgeSource(traces, solved, source)
      expect(told).toMatchObject({ lagSamples: null, polarity: null, lagVerdict: 'unknown', candidates: [] })
      expect(told.reason).toContain(reason)
    }
    expect(judgeSource(traces, solved, 3).coherence!).toBeLessThan(0.05)
    expect(judgeSource(traces, solved, 4).coherence).toBeNull()
  })

  test('the lag over time: a block a second, each as good as its second lets it be, no drift, no step, no sway', () => {
    const told = overTime(traces, 1, solved.lagSamples[1]!)
    expect(told).toMatchObject({ drift: null, steps: [] })
    expect(told.swaySamples!).toBeLessThan(0.01)
    const blocks = told.lagOverTime!
    expect(blocks.length).toBeGreaterThanOrEqual(7)
    const bound = boundSamples(1)
    blocks.forEach(({ atSeconds, lagSamples, uncertaintySamples }, i) => {
      if (i > 0) expect(Math.abs(atSeconds - blocks[i - 1]!.atSeconds - 1)).toBeLessThan(0.05)
      expect(Math.abs(lagSamples - 31.3)).toBeLessThan(5 * bound)
      expect(uncertaintySamples).toBeGreaterThan(bound)
      expect(uncertaintySamples).toBeLessThan(0.02)
    })
    expect(blocks[0]!.atSeconds).toBeLessThan(0.6)
    expect(blocks.at(-1)!.atSeconds).toBeGreaterThan(SECONDS - 1)
    expect(blocks.at(-1)!.atSeconds).toBeLessThan(SECONDS)
  })
})

describe('a lag that changes during the take', () => {
  /** The sound as it is heard later by `lagAt` of the frame, by a windowed sinc of 48 frames: good to 1e-3 up to 3 kHz. */
  const carried = (lagAt: (frame: number) => number): Float64Array =>
    Float64Array.from({ length: N }, (_, n) => {
      const at = n - lagAt(n)
      const first = Math.floor(at) - 23
      let sum = 0
      for (let k = first; k < first + 48; k++) {
        const x = at - k
        const ideal = x === 0 ? 1 : Math.sin(Math.PI * x) / (Math.PI * x)
        sum += (sound[k] ?? 0) * ideal * (0.5 + 0.5 * Math.cos((Math.PI * x) / 24))
      }
      return sum
    })
  const told = async (lagAt: (frame: number) => number): Promise<OverTime> => {
    const { traces, solved } = await measured([
      [heard(1, sound, 'still')],
      [heard(1, carried(lagAt), 'moving')],
    ])
    return overTime(traces, 1, solved.lagSamples[1]!)
  }

  test('by a clock that runs 50 parts in a million slow', async () => {
    const { drift, steps, lagOverTime } = await told(n => 20 + 50e-6 * n)
    expect(steps).toEqual([])
    expect(drift!.uncertaintyPpm).toBeGreaterThan(0)
    expect(Math.abs(drift!.ppm - 50)).toBeLessThan(Math.max(1, 4 * drift!.uncertaintyPpm))
    for (const { atSeconds, lagSamples } of lagOverTime!)
      expect(Math.abs(lagSamples - 20 - 50e-6 * atSeconds * RATE)).toBeLessThan(0.1)
  })

  test('by a stand that was moved after five seconds', async () => {
    const { drift, steps, swaySamples, lagOverTime } = await told(n => (n < 5 * RATE ? 31.3 : 43.8))
    expect(drift).toBeNull()
    expect(steps).toHaveLength(1)
    const [step] = steps!
    // To the second: blocks are that long.
    expect(Math.abs(step!.atSeconds - 5)).toBeLessThan(1)
    expect(Math.abs(step!.fromLagSamples - 31.3)).toBeLessThan(0.1)
    expect(Math.abs(step!.toLagSamples - 43.8)).toBeLessThan(0.1)
    expect(swaySamples!).toBeLessThan(1)
    for (const { atSeconds, lagSamples } of lagOverTime!)
      if (Math.abs(atSeconds - 5) > 1)
        expect(Math.abs(lagSamples - (atSeconds < 5 ? 31.3 : 43.8))).toBeLessThan(0.1)
  })
})
