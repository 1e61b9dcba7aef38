import { describe, expect, it } from 'vitest'
import { applyDelay, delayDesign, designDelay } from '../../src/signal/fractional-delay.js'
import { cuts, decibels, largestDifference, noise, sine } from './signals.js'

const rates = [8000, 44100, 48000, 96000] as const

describe('fractional delay', () => {
  it('moves later: an impulse delayed by nearly one frame stands nearly one frame later', () => {
    const { halfLength, taps } = designDelay(0.999, 48000)
    const input = new Float64Array(5 + 2 * halfLength)
    input[halfLength + 1] = 1
    const output = new Float64Array(5)
    applyDelay({ fraction: 0.999, halfLength, taps }, input, output)
    expect(output[2]).toBeGreaterThan(0.99999)
    expect(Math.abs(output[1]!)).toBeLessThan(0.002)
  })

  it('copies exactly at a fraction of 0', () => {
    const kernel = designDelay(0, 44100)
    const input = noise('copy', 100 + 2 * kernel.halfLength)
    const output = new Float64Array(100)
    applyDelay(kernel, input, output)
    expect(output).toEqual(input.slice(kernel.halfLength, kernel.halfLength + 100))
  })

  it.each(rates)('follows a sine anywhere in its band at %i Hz', rate => {
    const { bandHz, halfLength } = delayDesign(rate)
    for (const fraction of [0.01, 0.31, 0.5, 0.99]) {
      for (const share of [0.003, 0.25, 0.7, 1]) {
        const frequency = share * bandHz
        const input = sine(frequency, rate, 400 + 2 * halfLength, { start: -halfLength })
        const output = new Float64Array(400)
        applyDelay(designDelay(fraction, rate), input, output)
        const ideal = sine(frequency, rate, 400, { phase: (-2 * Math.PI * frequency * fraction) / rate })
        expect(decibels(largestDifference(output, ideal))).toBeLessThan(-99)
      }
    }
  })

  it('does not depend on how a signal is cut, to the bit', () => {
    const kernel = designDelay(0.37, 48000)
    const input = noise('cut', 5000 + 2 * kernel.halfLength)
    const whole = new Float64Array(5000)
    applyDelay(kernel, input, whole)
    const pieces = new Float64Array(5000)
    const all = cuts('delay', 5000, 130)
    for (const { start, end } of all) {
      applyDelay(kernel, input.subarray(start, end + 2 * kernel.halfLength), pieces.subarray(start, end))
    }
    expect(all.length).toBeGreaterThan(50)
    expect(pieces).toEqual(whole)
  })

  it('comes back after a delay and its rest to a whole frame: the null test', () => {
    const rate = 48000
    // Noise up to 20 kHz: sines with seeded phases.
    const random = noise('phases', 200, Math.PI)
    const length = 3000
    const input = new Float64Array(length)
    for (let k = 0; k < 200; k++) {
      const tone = sine(50 + k * 100, rate, length, { amplitude: 0.01, phase: random[k]! })
      for (let i = 0; i < length; i++) input[i] = input[i]! + tone[i]!
    }
    const first = designDelay(0.31, rate)
    const second = designDelay(0.69, rate)
    const there = new Float64Array(length - 2 * first.halfLength)
    applyDelay(first, input, there)
    const back = new Float64Array(there.length - 2 * second.halfLength)
    applyDelay(second, there, back)
    const late = input.subarray(first.halfLength + second.halfLength - 1)
    let residue = 0
    let energy = 0
    for (let i = 0; i < back.length; i++) {
      residue += (back[i]! - late[i]!) * (back[i]! - late[i]!)
      energy += back[i]! * back[i]!
    }
    expect(10 * Math.log10(residue / energy)).toBeLessThan(-140)
  })

  it('refuses a fraction outside [0, 1) and an input without its margins', () => {
    for (const fraction of [-0.1, 1, 1.5, Number.NaN])
      expect(() => designDelay(fraction, 48000)).toThrow(RangeError)
    const kernel = designDelay(0.5, 48000)
    expect(() => {
      applyDelay(kernel, new Float64Array(100), new Float64Array(40))
    }).toThrow(/needs 104 of input, got 100/)
  })
})
