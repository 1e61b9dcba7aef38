import { describe, expect, it } from 'vitest'
import { RealFft } from '../../src/signal/fft.js'
import { SingleFft } from '../../src/signal/single-fft.js'
import { noise } from './signals.js'

/** Largest distance of a transform in single precision from one in double, and the rms of the latter. */
const compared = (size: number): { error: number; level: number } => {
  const samples = noise(`single ${size}`, size)
  const single = new SingleFft(size)
  const { frame } = single
  samples.forEach((sample, n) => {
    frame[(n >> 1) + (n & 1) * (frame.length / 2)] = sample
  })
  const spectrum = new Float32Array(2 * single.apart)
  single.forward(spectrum)
  const exact = new Float64Array(size + 2)
  new RealFft(size).forward(samples, exact)
  let error = 0
  let energy = 0
  for (let k = 0; k < single.bins; k++) {
    const re = exact[2 * k]!
    const im = exact[2 * k + 1]!
    error = Math.max(error, Math.hypot(spectrum[k]! - re, spectrum[single.apart + k]! - im))
    energy += re * re + im * im
  }
  return { error, level: Math.sqrt(energy / single.bins) }
}

describe('SingleFft', () => {
  it('agrees with the transform in double precision to -120 dB of its level, in every bin and at every size', () => {
    let sizes = 0
    for (let size = 32; size <= 65536; size *= 2, sizes++) {
      const { error, level } = compared(size)
      expect(error / level, `size ${size}`).toBeLessThan(1e-6)
    }
    expect(sizes).toBe(12)
  })

  it('leaves zeros behind the bins, which sums of whole vectors run over', () => {
    const single = new SingleFft(64)
    single.frame.fill(1)
    const spectrum = new Float32Array(2 * single.apart).fill(7)
    single.forward(spectrum)
    expect([...spectrum.subarray(33, 36), ...spectrum.subarray(36 + 33)]).toEqual([0, 0, 0, 0, 0, 0])
    expect(spectrum[0]).toBe(64)
  })

  it('refuses what it cannot transform', () => {
    expect(() => new SingleFft(48)).toThrow(RangeError)
    expect(() => new SingleFft(16)).toThrow(RangeError)
    expect(() => {
      new SingleFft(64).forward(new Float32Array(66))
    }).toThrow(RangeError)
  })
})
