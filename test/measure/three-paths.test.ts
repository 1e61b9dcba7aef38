import { describe, expect, test } from 'vitest'
import { judgeSource } from '../../src/measure/group/judged-source.js'
import { measureTraces } from '../../src/measure/group/measure-traces.js'
import type { MeasuredTraces } from '../../src/measure/group/measured-traces.js'
import { solveLags } from '../../src/measure/group/solve.js'
import { inPlace } from '../corpus/in-place.js'
import { pathsTask } from '../corpus/paths-task.js'
import { whiteNoise } from '../corpus/random.js'
import { delayed } from '../corpus/spectrum.js'

const RATE = 48000

const measured = (tracks: readonly Float64Array[]): Promise<MeasuredTraces> =>
  measureTraces(pathsTask(tracks, RATE, 0.04), inPlace(tracks.map(track => [track])))

const sum = (a: Float64Array, b: Float64Array, factor = 1): Float64Array =>
  a.map((v, n) => v + factor * b[n]!)

const rms = (values: readonly number[]): number =>
  Math.sqrt(values.reduce((s, v) => s + v * v, 0) / values.length)

describe('three paths', () => {
  // White noise of 1 s, SNR 0 dB in the reference and the first path, 20 dB in the second. With q = ρ1 ρ2 / ((1 + ρ1)(1 + ρ2) - ρ1 ρ2) the
  // direct pair has 1/3, each leg by way of the clean path 0.98: 2 / 0.98 < 3, so the way round alone has 0.82 of the direct pair's error.
  test('the solution from all pairs is better than the direct pair where a third path is cleaner', async () => {
    const direct: number[] = []
    const solved: number[] = []
    for (let trial = 0; trial < 10; trial++) {
      const sound = whiteNoise(RATE, `three ${trial}`)
      const noisy = (lag: number, level: number, name: string): Float64Array =>
        sum(delayed(sound, lag), whiteNoise(RATE, `three ${trial} ${name}`), level)
      const m = await measured([noisy(0, 1, 'a'), noisy(91.4, 1, 'b'), noisy(40.7, 0.1, 'c')])
      direct.push(m.pairs[0]!.shiftSamples + m.pairs[0]!.estimate!.lagSamples - 91.4)
      solved.push(solveLags(m).lagSamples[1]! - 91.4)
    }
    expect(rms(solved)).toBeLessThan(0.95 * rms(direct))
    // And neither is far from what the bound lets expect: 4.36e-3 frames for the direct pair (computed, see exactness.test.ts).
    expect(rms(direct)).toBeLessThan(4.36e-3 * 1.15 * (1 + 3 / Math.sqrt(20)))
    expect(solved).toHaveLength(10)
  })

  test('pairs that miss each other by more than a quarter of a millisecond lower the verdict', async () => {
    const frames = 2 * RATE
    const first = whiteNoise(frames, 'closure sound')
    const second = whiteNoise(frames, 'closure other')
    const group = (awaySamples: number): Promise<MeasuredTraces> =>
      measured([
        first,
        sum(delayed(first, 60), delayed(second, 60), 1.5),
        sum(delayed(first, 150), delayed(second, 150 + awaySamples), 1.5),
      ])
    const told = async (awaySamples: number) => {
      const m = await group(awaySamples)
      const lags = solveLags(m)
      return { lags, judged: [1, 2].map(source => judgeSource(m, lags, source)) }
    }
    const agreeing = await told(0)
    expect(agreeing.lags.closureSamples!).toBeLessThan(0.1)
    expect(agreeing.judged.map(j => j.lagVerdict)).toEqual(['sure', 'sure'])
    const contradicting = await told(45)
    expect(contradicting.lags.closureSamples!).toBeGreaterThan(5)
    expect(contradicting.judged.map(j => j.lagVerdict)).toEqual(['unsure', 'unsure'])
    for (const { reason } of contradicting.judged) expect(reason).toMatch(/other tracks of the group/)
  })
})
