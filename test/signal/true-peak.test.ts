import { describe, expect, it } from 'vitest'
import { seededRandom } from '../../src/signal/random.js'
import { TruePeakMeter } from '../../src/signal/true-peak.js'
import { kaiserAt, sinc } from '../../src/signal/windows.js'
import { cuts, noise, sine } from './signals.js'

const peakOf = (rate: number, channels: readonly Float64Array[], factor = 4): number => {
  const meter = new TruePeakMeter(rate, channels.length, factor)
  meter.push(channels)
  return meter.peak()
}

describe('TruePeakMeter', () => {
  it('does not depend on block sizes, to the bit, whatever was passed over', () => {
    let compared = 0
    for (let trial = 0; trial < 20; trial++) {
      const samples = noise(`peaks ${trial}`, 9000, 0.1)
      for (let i = 0; i < samples.length; i++) {
        const away = (i - 400 * trial) / 300
        samples[i] = samples[i]! * (1 + 8 * Math.exp(-away * away))
      }
      const meter = new TruePeakMeter(48000, 1)
      for (const { start, end } of cuts(`peak ${trial}`, 9000, 700))
        meter.push([samples.subarray(start, end)])
      expect(meter.peak()).toBe(peakOf(48000, [samples]))
      compared++
    }
    expect(compared).toBe(20)
  })

  it('passes over nothing that counts: the same as making every point', () => {
    const weight = (position: number): number => sinc(position) * kaiserAt(position / 16, 5)
    let compared = 0
    for (const name of ['one', 'two', 'three']) {
      const samples = noise(name, 1500, 0.2)
      samples[777] = 0.9
      samples[778] = -0.4
      let largest = 0
      for (let point = 0; point < 8 * samples.length; point++) {
        const time = point / 8
        let sum = 0
        for (let i = Math.ceil(time - 16); i <= time + 16; i++) sum += (samples[i] ?? 0) * weight(i - time)
        largest = Math.max(largest, Math.abs(sum))
        compared++
      }
      expect(peakOf(48000, [samples], 8)).toBeCloseTo(largest, 13)
    }
    expect(compared).toBe(36_000)
  })

  it('finds the peak between frames, and never less than the sample peak', () => {
    const between = sine(12000, 48000, 4800, { phase: Math.PI / 4 })
    for (let i = 0; i < 4800; i++) between[i] = between[i]! * Math.sin((Math.PI * i) / 4800)
    expect(Math.max(...between)).toBeLessThan(0.708)
    expect(peakOf(48000, [between])).toBeCloseTo(1, 2)
    const lone = new Float64Array(100)
    lone[50] = -0.75
    expect(peakOf(48000, [lone])).toBeGreaterThanOrEqual(0.75)
  })

  it('looks at the last frames too, asks any number of times, and goes on afterwards', () => {
    const meter = new TruePeakMeter(48000, 1)
    meter.push([Float64Array.of(0, 0, 0.4, 0.4)])
    const first = meter.peak()
    expect(first).toBeGreaterThan(0.45) // two equal frames at the end: the top lies between them
    expect(meter.peak()).toBe(first)
    meter.push([Float64Array.of(0.4, 0.4, 0.4, 0.4)])
    expect(meter.peak()).toBe(peakOf(48000, [Float64Array.of(0, 0, 0.4, 0.4, 0.4, 0.4, 0.4, 0.4)]))
  })

  it('takes the largest of all channels; silence is 0', () => {
    expect(peakOf(44100, [new Float64Array(500), noise('right', 500, 0.3)])).toBe(
      peakOf(44100, [noise('right', 500, 0.3)]),
    )
    expect(peakOf(44100, [new Float64Array(5000)])).toBe(0)
    expect(new TruePeakMeter(48000, 2).peak()).toBe(0)
  })

  it('looks as closely in time at double rates with half the points', () => {
    for (const rate of [48000, 96000, 192000]) {
      const tone = sine(12000, rate, rate / 10, { phase: Math.PI / 4 })
      for (let i = 0; i < tone.length; i++) tone[i] = tone[i]! * Math.sin((Math.PI * i) / tone.length)
      expect(20 * Math.log10(peakOf(rate, [tone]))).toBeCloseTo(0, 1)
    }
  })
})

it('passes over no place that could hold the peak, whatever the sound is like', () => {
  // Every point of every gap, by the filter written out.
  const thorough = (sound: Float64Array, points: number): number => {
    let most = 0
    for (let at = -16; at < sound.length + 16; at++) {
      for (let p = 0; p < points; p++) {
        let sum = 0
        for (let i = at - 15; i <= at + 16; i++) {
          const position = i - at - p / points
          const x = sound[i]
          if (x !== undefined)
            sum += x * (p === 0 ? Number(i === at) : sinc(position) * kaiserAt(position / 16, 5))
        }
        most = Math.max(most, Math.abs(sum))
      }
    }
    return most
  }
  const random = seededRandom('peaks')
  let compared = 0
  for (let n = 0; n < 40; n++) {
    // From nearly a straight line to white noise, with a click here and there.
    const dull = random() ** 3
    let memory = 0
    const sound = Float64Array.from({ length: 700 }, () => {
      memory += dull * (2 * random() - 1 - memory)
      return memory + (random() < 0.003 ? random() : 0)
    })
    for (const factor of [4, 8]) {
      const meter = new TruePeakMeter(48000, 1, factor)
      meter.push([sound])
      expect(meter.peak()).toBeCloseTo(thorough(sound, factor), 12)
      compared++
    }
  }
  expect(compared).toBe(80)
})
