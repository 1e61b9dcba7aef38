import { describe, expect, it } from 'vitest'
import { RealFft } from '../../src/signal/fft.js'
import { largestDifference, noise } from './signals.js'

/** The definition, sum by sum. */
const slowTransform = (x: Float64Array): Float64Array => {
  const n = x.length
  const spectrum = new Float64Array(n + 2)
  for (let k = 0; k <= n / 2; k++) {
    for (let i = 0; i < n; i++) {
      const angle = (2 * Math.PI * ((i * k) % n)) / n
      spectrum[2 * k] = spectrum[2 * k]! + x[i]! * Math.cos(angle)
      spectrum[2 * k + 1] = spectrum[2 * k + 1]! - x[i]! * Math.sin(angle)
    }
  }
  return spectrum
}

describe('RealFft', () => {
  it.each([4, 8, 16, 32, 64, 128, 512, 1024])('equals the sum of its definition at size %i', size => {
    const x = noise(`fft ${size}`, size)
    const spectrum = new Float64Array(size + 2).fill(Number.NaN)
    new RealFft(size).forward(x, spectrum)
    expect(largestDifference(spectrum, slowTransform(x))).toBeLessThan(1e-15 * size * Math.log2(size))
  })

  it.each([4, 16, 4096, 65536])('gives the frame back at size %i', size => {
    const fft = new RealFft(size)
    const x = noise('round trip', size)
    const kept = x.slice()
    const spectrum = new Float64Array(size + 2)
    const back = new Float64Array(size).fill(Number.NaN)
    fft.forward(x, spectrum)
    fft.inverse(spectrum, back)
    expect(largestDifference(back, x)).toBeLessThan(1e-15)
    expect(x).toEqual(kept)
  })

  it('keeps energy (Parseval: sum |x|^2 = sum |X|^2 / size, inner bins twice)', () => {
    const size = 8192
    const x = noise('energy', size)
    const spectrum = new Float64Array(size + 2)
    new RealFft(size).forward(x, spectrum)
    let inSpectrum = 0
    for (let k = 0; k <= size / 2; k++) {
      const power = spectrum[2 * k]! * spectrum[2 * k]! + spectrum[2 * k + 1]! * spectrum[2 * k + 1]!
      inSpectrum += (k === 0 || k === size / 2 ? 1 : 2) * power
    }
    const inTime = x.reduce((sum, value) => sum + value * value, 0)
    expect(inSpectrum / size / inTime).toBeCloseTo(1, 13)
  })

  it('does not carry anything from one call to the next', () => {
    const fft = new RealFft(256)
    const first = new Float64Array(258)
    const again = new Float64Array(258)
    fft.forward(noise('a', 256), first)
    fft.forward(noise('b', 256), again)
    fft.inverse(again, new Float64Array(256))
    fft.forward(noise('a', 256), again)
    expect(again).toEqual(first)
  })

  it('refuses sizes and lengths that would give NaN without a word', () => {
    for (const size of [0, 1, 2, 3, 12, 1000, -8, 4.5, Number.NaN])
      expect(() => new RealFft(size)).toThrow(RangeError)
    const fft = new RealFft(16)
    expect(() => {
      fft.forward(new Float64Array(15), new Float64Array(18))
    }).toThrow(/16 samples/)
    expect(() => {
      fft.inverse(new Float64Array(17), new Float64Array(16))
    }).toThrow(RangeError)
  })
})
