import { describe, expect, it } from 'vitest'
import { ClipDetector, type ClippedRun } from '../../../src/measure/scan/clipping.js'
import { cuts, noise, sine } from '../../signal/signals.js'
import { onGrid } from './recordings.js'

const found = (
  samples: Float64Array,
  bits = 24,
  pieces = [{ start: 0, end: samples.length }],
): { readonly runs: number; readonly first: readonly ClippedRun[] } => {
  const detector = new ClipDetector(0, 1 / Number(1n << BigInt(bits - 1)))
  for (const { start, end } of pieces) detector.push(samples, start, end)
  return detector.finish(Math.max(...samples), Math.min(...samples))
}

/** A sine over full scale, cut off: two flat tops a period. */
const clipped = (amplitude: number, ceiling: number, bits: number): Float64Array =>
  onGrid(
    sine(200, 48000, 4800, { amplitude }).map(x => Math.max(-ceiling, Math.min(ceiling, x))),
    bits,
  )

describe('ClipDetector', () => {
  it.each([16, 24])('counts each flat top at full scale, %i bits', bits => {
    // 20 periods in 0.1 s: 40 tops. Held from asin(1/1.5) to pi - asin(1/1.5): 64.2 frames.
    const { runs, first } = found(clipped(1.5, 1, bits), bits)
    expect(runs).toBe(40)
    expect(first).toHaveLength(20)
    const [top, bottom] = first as [ClippedRun, ClippedRun]
    expect(top).toEqual({
      channel: 0,
      startFrame: 28,
      frames: 65,
      level: 1 - 1 / Number(1n << BigInt(bits - 1)),
    })
    expect(bottom.level).toBe(-1)
    expect(bottom.startFrame - top.startFrame).toBe(120)
  })

  it('finds tops cut off earlier in the chain and turned down since', () => {
    const { runs, first } = found(
      onGrid(
        clipped(1.5, 1, 24).map(x => 0.7 * x),
        24,
      ),
    )
    expect(runs).toBe(40)
    expect(first[0]!.level).toBeCloseTo(0.7, 6)
  })

  it('takes two flat tops below full scale for chance', () => {
    const samples = onGrid(noise('two tops', 4800, 0.3), 24)
    for (const at of [1000, 3000]) samples.fill(0.5, at, at + 5)
    expect(found(samples).runs).toBe(0)
    samples.fill(0.5, 4000, 4003)
    expect(found(samples).runs).toBe(3)
    // Something higher shows that the level was no ceiling.
    samples[2000] = 0.6
    expect(found(samples).runs).toBe(0)
  })

  it('leaves alone the round top of a slow wave that holds one 16-bit value, at full scale too', () => {
    let trap = 0
    for (const amplitude of [0.1, 0.5, 32767 / 32768]) {
      for (const frequency of [25, 41.2034, 55]) {
        const samples = onGrid(sine(frequency, 48000, 48000, { amplitude }), 16)
        const held = samples.reduce((count, x, i) => {
          const top = x === samples[i + 1] && x === samples[i + 2] && Math.abs(x) > 0.99 * amplitude
          return count + (top ? 1 : 0)
        }, 0)
        trap += held
        expect(found(samples, 16).runs).toBe(0)
      }
    }
    expect(trap).toBeGreaterThan(300) // it is there
  })

  it('counts a top that is cut off by the end of the file or begins it', () => {
    const samples = onGrid(noise('ends', 500, 0.3), 24)
    samples.fill(-1, 0, 4)
    samples.fill(-1, 496)
    expect(found(samples).runs).toBe(2)
    expect(found(new Float64Array(100).fill(-1)).runs).toBe(0) // a constant has no flank: it is an offset
  })

  it('finds nothing in silence, noise and unclipped sound', () => {
    expect(found(new Float64Array(5000)).runs).toBe(0)
    expect(found(onGrid(noise('unclipped', 50_000, 0.999), 16), 16).runs).toBe(0)
    expect(found(onGrid(sine(997, 48000, 48000), 24)).runs).toBe(0)
  })

  it('does not depend on block sizes', () => {
    const samples = clipped(1.2, 1, 24)
    expect(found(samples, 24, cuts('clip', samples.length, 40))).toEqual(found(samples, 24))
  })
})
