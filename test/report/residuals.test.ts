import { describe, expect, it } from 'vitest'
import { unpackWhole } from '../../src/report/listen/residuals.js'
import { packWhole, wholeBytes } from '../../src/report/listen/whole-packer.js'
import { whiteNoise } from '../tone/setting/sounds.js'

const FULL = 2 ** 23

const roundTrip = (values: Int32Array): number => {
  const bytes = packWhole(values)
  const { values: back, end } = unpackWhole(bytes, 0, values.length)
  expect(back.length).toBe(values.length)
  expect(back.every((value, i) => value === values[i])).toBe(true)
  expect(end).toBe(bytes.length)
  expect(wholeBytes(values)).toBe(bytes.length)
  return (8 * bytes.length) / Math.max(1, values.length)
}

const noise = (count: number, reach: number): Int32Array =>
  Int32Array.from(whiteNoise(count, 'packed', 1), x => Math.round(x * reach))

describe('whole numbers packed', () => {
  it.each([
    ['nothing', new Int32Array(0)],
    ['one', Int32Array.of(-1)],
    [
      'the ends of 24 bits in turn',
      Int32Array.from({ length: 2000 }, (_, i) => (i % 2 === 0 ? FULL - 1 : -FULL)),
    ],
    [
      'more than 24 bits',
      Int32Array.from({ length: 1025 }, (_, i) => (i % 3 === 0 ? 2 ** 24 - 1 : -(2 ** 24))),
    ],
    // Small numbers choose a small parameter; a click among them needs the way out.
    [
      'a click in silence',
      Int32Array.from({ length: 3000 }, (_, i) => (i === 1777 ? -FULL : i % 5 === 0 ? 1 : 0)),
    ],
    ['a block and one', Int32Array.from({ length: 513 }, (_, i) => i * i - 7 * i)],
    ['noise of full scale', noise(5000, FULL / 4)],
  ])('%s comes back exactly', (_, values) => {
    roundTrip(values)
  })

  it('a part within other bytes, one after the other', () => {
    const parts = [noise(700, 100), noise(11, 5), noise(1300, 1e6)]
    const bytes = Uint8Array.from([9, ...parts.flatMap(part => [...packWhole(part)]), 9])
    let at = 1
    for (const part of parts) {
      const { values, end } = unpackWhole(bytes, at, part.length)
      expect(values).toEqual(part)
      at = end
    }
    expect(at).toBe(bytes.length - 1)
  })

  it('takes hardly more room than there is news in the numbers', () => {
    const count = 40_000
    // Gaussian noise of deviation s holds log2(s sqrt(2 pi e)) bits a value (Shannon 1948, section 20); a Golomb-Rice code is made for a
    // two-sided exponential and loses some tenths of a bit on it.
    const deviation = 3000
    const bits = roundTrip(noise(count, deviation))
    const entropy = Math.log2(deviation * Math.sqrt(2 * Math.PI * Math.E))
    expect(bits).toBeGreaterThan(entropy)
    expect(bits).toBeLessThan(entropy + 0.35)
    // Silence takes one bit a value, and a slow tone far less than its 20 bits.
    expect(roundTrip(new Int32Array(count))).toBeLessThan(1.05)
    const tone = Int32Array.from({ length: count }, (_, i) =>
      Math.round(4e5 * Math.sin((2 * Math.PI * i) / 480)),
    )
    expect(roundTrip(tone)).toBeLessThan(6)
  })
})
