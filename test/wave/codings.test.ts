import { describe, expect, test } from 'vitest'
import { openWave } from '../../src/wave/wave-file.js'
import {
  allFrames,
  chunk,
  extensibleFormat,
  floats32,
  floats64,
  integers,
  plainFormat,
  riff,
  temporaryFolder,
} from './wave-bytes.js'

const folder = temporaryFolder()

/** Stored integers with their value: full scale is 2^(bits - 1). Enough of them that words, halves and rests are all met. */
const extremes = (bits: number): number[] => {
  const full = 2 ** (bits - 1)
  return [-full, full - 1, 0, 1, -1, full / 2, -full / 2, 1 - full, 2, -2, 0x12 % full]
}

const cases = [
  {
    name: '8 bit, unsigned',
    tag: 1,
    bits: 8,
    stored: extremes(8),
    encode: (v: number[]) => v.map(x => x + 128),
  },
  { name: '16 bit', tag: 1, bits: 16, stored: extremes(16), encode: (v: number[]) => integers(v, 2) },
  { name: '24 bit', tag: 1, bits: 24, stored: extremes(24), encode: (v: number[]) => integers(v, 3) },
  { name: '32 bit', tag: 1, bits: 32, stored: extremes(32), encode: (v: number[]) => integers(v, 4) },
]

const floats = [0, -0, 1, -1, 0.1, 2.5, -7, 2 ** -149, 3.4028234663852886e38]

describe.each(cases)('$name', ({ name, tag, bits, stored, encode }) => {
  const values = stored.map(value => value / 2 ** (bits - 1))

  test.each([1, 2, 3, 11])('every extreme is exact in %i channels, plain and extensible', channels => {
    const frames = Array.from({ length: 11 }, (_, frame) =>
      Array.from({ length: channels }, (_, channel) => stored[(frame + channel) % stored.length]!),
    )
    const data = chunk('data', encode(frames.flat()))
    const formats = [
      plainFormat(tag, channels, 48000, bits),
      extensibleFormat(tag, channels, 48000, bits, bits, 0),
    ]
    formats.forEach((format, index) => {
      const file = openWave(folder.put(`${name}-${channels}-${index}.wav`, riff(format, data)))
      expect(file.facts).toEqual({
        sampleRateHz: 48000,
        channels,
        frames: 11,
        bitDepth: bits,
        sampleFormat: 'int',
        stampSamples: null,
      })
      expect(file.warnings).toEqual([])
      const expected = Array.from({ length: channels }, (_, channel) =>
        Array.from({ length: 11 }, (_, frame) => values[(frame + channel) % values.length]!),
      )
      expect(allFrames(file)).toEqual(expected)
      expect(file.format.extensible).toBe(index === 1)
      file.close()
    })
  })
})

describe.each([
  { bits: 32, encode: floats32, exact: floats.map(Math.fround) },
  { bits: 64, encode: floats64, exact: floats.map(value => value * 1.0000001) },
])('$bits bit float', ({ bits, encode, exact }) => {
  test('passes every value as it is, above full scale too', () => {
    const file = openWave(
      folder.put(`float-${bits}.wav`, riff(plainFormat(3, 1, 96000, bits), chunk('data', encode(exact)))),
    )
    expect(file.facts.sampleFormat).toBe('float')
    expect(file.facts.bitDepth).toBe(bits)
    expect(allFrames(file)[0]!.map(value => Object.is(value, -0))).toEqual(exact.map(v => Object.is(v, -0)))
    expect(allFrames(file)).toEqual([exact])
    file.close()
  })
})

test('20 valid bits in 24 and 24 in 32 stand at the top of their container', () => {
  const twenty = openWave(
    folder.put(
      '20in24.wav',
      riff(extensibleFormat(1, 1, 48000, 24, 20, 4), chunk('data', integers([0x7ffff0, -0x800000], 3))),
    ),
  )
  expect(allFrames(twenty)).toEqual([[0x7ffff / 2 ** 19, -1]])
  expect(twenty.format.validBits).toBe(20)
  expect(twenty.facts.bitDepth).toBe(24)
  const twentyFour = openWave(
    folder.put(
      '24in32.wav',
      riff(extensibleFormat(1, 1, 48000, 32, 24, 4), chunk('data', integers([0x7fffff00, -0x80000000], 4))),
    ),
  )
  expect(allFrames(twentyFour)).toEqual([[0x7fffff / 2 ** 23, -1]])
  expect(twentyFour.format).toMatchObject({ validBits: 24, channelMask: 4, coding: 's32' })
  twenty.close()
  twentyFour.close()
})

test('a plain file of 20 bits takes three bytes a sample', () => {
  const file = openWave(
    folder.put('20.wav', riff(plainFormat(1, 1, 48000, 20), chunk('data', integers([0x400000], 3)))),
  )
  expect(allFrames(file)).toEqual([[0.5]])
  file.close()
})

test('64 channels at 384 kHz and one at 8 kHz are within the limits', () => {
  const row = Array.from({ length: 64 }, (_, channel) => channel - 32)
  const wide = openWave(
    folder.put('64.wav', riff(extensibleFormat(1, 64, 384_000, 24, 24, 0), chunk('data', integers(row, 3)))),
  )
  expect(allFrames(wide)).toEqual(row.map(value => [value / 2 ** 23]))
  const slow = openWave(folder.put('8k.wav', riff(plainFormat(1, 1, 8000, 16), chunk('data', [0, 0]))))
  expect(slow.facts).toMatchObject({ sampleRateHz: 8000, frames: 1 })
  wide.close()
  slow.close()
})

test('a file of no frames opens, and reads as silence', () => {
  const file = openWave(folder.put('none.wav', riff(plainFormat(1, 2, 48000, 24), chunk('data', []))))
  const into = [new Float64Array(3).fill(9), new Float64Array(3).fill(9)]
  file.read(-1, into)
  expect(file.facts.frames).toBe(0)
  expect(file.warnings).toEqual([])
  expect(into.map(values => [...values])).toEqual([
    [0, 0, 0],
    [0, 0, 0],
  ])
  file.close()
})
