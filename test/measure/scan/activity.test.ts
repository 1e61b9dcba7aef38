import { describe, expect, it } from 'vitest'
import { type Activity, ActivityMeter, levelAtShare } from '../../../src/measure/scan/activity.js'
import { quietWindows } from '../../../src/measure/scan/quiet-windows.js'
import { soundRange } from '../../../src/measure/scan/sound-range.js'
import { cuts, noise, sine } from '../../signal/signals.js'

const activityOf = (rate: number, channels: readonly Float64Array[]): Activity => {
  const meter = new ActivityMeter(rate, channels.length)
  meter.push(channels, channels[0]!.length)
  return meter.finish()
}

const curve = (...parts: readonly (readonly [steps: number, level: number])[]): Activity => ({
  stepFrames: 2400,
  levelsDbfs: Float32Array.from(
    parts.flatMap(([steps, level]) => Array.from({ length: steps }, () => level)),
  ),
})

describe('ActivityMeter', () => {
  it('tells the rms of each 50 ms over all channels, the short last step too', () => {
    const tone = sine(100, 48000, 6000, { amplitude: 0.5 })
    const { stepFrames, levelsDbfs } = activityOf(48000, [tone, new Float64Array(6000)])
    expect(stepFrames).toBe(2400)
    expect(levelsDbfs).toHaveLength(3)
    const expected = 10 * Math.log10(0.125 / 2)
    for (const level of levelsDbfs.subarray(0, 2)) expect(level).toBeCloseTo(expected, 3)
    expect(levelsDbfs[2]).toBeGreaterThan(expected - 1)
  })

  it('writes digital silence as -200, and does not depend on block sizes', () => {
    expect([...activityOf(48000, [new Float64Array(2500)]).levelsDbfs]).toEqual([-200, -200])
    const samples = noise('activity', 30_000)
    const meter = new ActivityMeter(44100, 1)
    for (const { start, end } of cuts('activity', 30_000, 900))
      meter.push([samples.subarray(start, end)], end - start)
    const whole = activityOf(44100, [samples]).levelsDbfs
    meter.finish().levelsDbfs.forEach((level, i) => {
      expect(level).toBeCloseTo(whole[i]!, 4)
    })
  })

  it('takes shares among what is not digital silence', () => {
    const activity = curve([10, -200], [5, -60], [5, -20])
    expect([0, 0.49, 0.51, 1].map(share => levelAtShare(activity, share))).toEqual([-60, -60, -20, -20])
    expect(levelAtShare(curve([5, -200]), 0.5)).toBeNull()
  })
})

describe('soundRange', () => {
  it('runs from the first to the last step over the noise', () => {
    const activity = curve([20, -75], [3, -20], [10, -74], [5, -30], [40, -75])
    expect(soundRange(activity, 78 * 2400, 48000)).toEqual({ startSeconds: 1, endSeconds: 1.9 })
  })

  it('is everything for a source that never rests, and nothing for silence or noise under -70 dBFS', () => {
    expect(soundRange(curve([40, -20], [40, -24]), 191_000, 48000)).toEqual({
      startSeconds: 0,
      endSeconds: 191 / 48, // the last step is a short one
    })
    expect(soundRange(curve([40, -200]), 96_000, 48000)).toBeNull()
    expect(soundRange(curve([40, -85]), 96_000, 48000)).toBeNull()
  })
})

describe('quietWindows', () => {
  const steps = 14 // 32768 frames

  it('lie in the gaps, do not overlap, and take the quietest first', () => {
    const activity = curve([40, -20], [30, -64], [40, -20], [30, -66], [10, -20])
    const starts = quietWindows(activity, 32768).map(start => start / 2400)
    expect(starts.length).toBe(4)
    for (const start of starts) {
      const inFirst = start >= 40 && start + steps <= 70
      const inSecond = start >= 110 && start + steps <= 140
      expect(inFirst || inSecond).toBe(true)
    }
    expect(starts[0]).toBe(110)
    const sorted = starts.toSorted((a, b) => a - b)
    sorted.slice(1).forEach((start, i) => {
      expect(start - sorted[i]!).toBeGreaterThanOrEqual(steps)
    })
  })

  it('are none where playing does not pause for so long, or pauses are digital silence', () => {
    expect(quietWindows(curve([40, -20], [10, -64], [40, -20]), 32768)).toEqual([])
    expect(quietWindows(curve([40, -20], [40, -200], [40, -20]), 32768)).toEqual([])
    expect(quietWindows(curve([40, -20], [40, -32], [40, -20]), 32768)).toEqual([])
    expect(quietWindows(curve([3, -20]), 32768)).toEqual([])
  })

  it('are everywhere in a steady noise, at most 24', () => {
    expect(quietWindows(curve([1000, -60]), 32768)).toHaveLength(24)
  })
})
