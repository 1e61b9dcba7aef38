import { describe, expect, it } from 'vitest'
import { LevelMeter } from '../../src/signal/level.js'
import { sine } from './signals.js'

describe('LevelMeter', () => {
  it('tells extremes, mean and rms of each channel', () => {
    const meter = new LevelMeter(2)
    const tone = sine(100, 48000, 480, { amplitude: 0.5 })
    meter.push([tone, Float64Array.from(tone, x => x / 2 - 0.25)])
    meter.push([tone, Float64Array.from(tone, x => x / 2 - 0.25)])
    expect(meter.frames).toBe(960)
    expect([meter.highest(0), meter.lowest(0), meter.samplePeak(0)]).toEqual([0.5, -0.5, 0.5])
    expect([meter.highest(1), meter.lowest(1), meter.samplePeak(1)]).toEqual([0, -0.5, 0.5])
    expect(meter.dc(0)).toBeCloseTo(0, 15)
    expect(meter.dc(1)).toBeCloseTo(-0.25, 14)
    expect(meter.rms(0)).toBeCloseTo(0.5 / Math.SQRT2, 14)
    expect(meter.rms(1)).toBeCloseTo(Math.sqrt(0.0625 + 0.03125), 14)
  })

  it('is 0 before any frame, and keeps a wave that lies on one side of zero', () => {
    const meter = new LevelMeter(1)
    expect([meter.samplePeak(0), meter.dc(0), meter.rms(0), meter.highest(0), meter.lowest(0)]).toEqual([
      0, 0, 0, 0, 0,
    ])
    meter.push([Float64Array.of(-0.5, -0.25, 9)], 2)
    expect([meter.highest(0), meter.lowest(0), meter.samplePeak(0)]).toEqual([-0.25, -0.5, 0.5])
  })
})
