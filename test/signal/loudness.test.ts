import { describe, expect, it } from 'vitest'
import { LoudnessMeter } from '../../src/signal/loudness.js'
import { cuts, noise, sine } from './signals.js'

const loudnessOf = (rate: number, channels: readonly Float64Array[]): number | null => {
  const meter = new LoudnessMeter(rate, channels.length)
  meter.push(channels)
  return meter.integratedLufs()
}

describe('LoudnessMeter', () => {
  it('does not depend on block sizes, to the bit', () => {
    const channels = [noise('left', 100_000, 0.3), noise('right', 100_000, 0.1)]
    const meter = new LoudnessMeter(44100, 2)
    for (const { start, end } of cuts('loudness', 100_000, 9000)) {
      meter.push(channels.map(samples => samples.subarray(start, end)))
    }
    expect(meter.integratedLufs()).toBe(loudnessOf(44100, channels))
  })

  it('uses only the frames that it is told to', () => {
    const meter = new LoudnessMeter(48000, 1)
    meter.push(
      [Float64Array.of(...sine(1000, 48000, 24000, { amplitude: 0.1 }), ...noise('rest', 5000, 1))],
      24000,
    )
    expect(meter.integratedLufs()).toBe(loudnessOf(48000, [sine(1000, 48000, 24000, { amplitude: 0.1 })]))
  })

  // BS.1770 annex 1: 0 dBFS in one channel is -3.01 LKFS. At low rates the bilinear transform squeezes the shelf.
  it.each([
    [8000, 0.21],
    [11025, 0.11],
    [16000, 0.05],
    [22050, 0.03],
    [44100, 0.01],
    [88200, 0.01],
    [192000, 0.01],
    [384000, 0.01],
  ])('reads a 997 Hz sine alike at %i Hz, within %f LU', (rate, tolerance) => {
    expect(Math.abs(loudnessOf(rate, [sine(997, rate, rate)])! + 3.01)).toBeLessThan(tolerance)
  })

  it('adds powers over channels and weighs them', () => {
    const tone = sine(1000, 48000, 48000, { amplitude: 0.1 })
    const one = loudnessOf(48000, [tone])!
    expect(loudnessOf(48000, [tone, tone])! - one).toBeCloseTo(10 * Math.log10(2), 9)
    const weighted = new LoudnessMeter(48000, 2, [1, 1.41])
    weighted.push([tone, tone])
    expect(weighted.integratedLufs()! - one).toBeCloseTo(10 * Math.log10(2.41), 9)
  })

  it('has no value under 400 ms, for silence, and under the absolute gate', () => {
    expect(new LoudnessMeter(48000, 1).integratedLufs()).toBeNull()
    expect(loudnessOf(48000, [sine(1000, 48000, 19199)])).toBeNull()
    expect(loudnessOf(48000, [sine(1000, 48000, 19200)])).not.toBeNull()
    expect(loudnessOf(48000, [new Float64Array(96000)])).toBeNull()
    expect(loudnessOf(48000, [sine(1000, 48000, 96000, { amplitude: 0.0004 })])).toBeNull() // -68 dBFS: -71 LUFS
  })

  it('stays right after long silence', () => {
    const tone = sine(1000, 48000, 48000, { amplitude: 0.5 })
    const meter = new LoudnessMeter(48000, 1)
    meter.push([new Float64Array(480_000)])
    meter.push([tone])
    const alone = loudnessOf(48000, [tone])!
    // Up to three blocks reach from the silence into the tone.
    expect(Math.abs(meter.integratedLufs()! - alone)).toBeLessThan(1.2)
  })
})
