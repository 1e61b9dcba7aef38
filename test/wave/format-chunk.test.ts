import { describe, expect, test } from 'vitest'
import { openWave } from '../../src/wave/wave-file.js'
import { faultOf } from './faults-of.js'
import {
  chunk,
  concat,
  extensibleFormat,
  integers,
  le,
  plainFormat,
  riff,
  temporaryFolder,
} from './wave-bytes.js'

/* Everything that a `fmt ` chunk can say, at its limits and word for word (found by `npm run mutants`). */

const folder = temporaryFolder()
const data = chunk('data', integers([1, 2, 3, 4, 5, 6], 4))
const opened = (format: Uint8Array) => {
  const file = openWave(folder.put('format.wav', riff(format, data)))
  file.close()
  return file
}
const refused = (format: Uint8Array) => faultOf(() => openWave(folder.put('format.wav', riff(format, data))))
/** `fmt ` of 16 bytes with every field given. */
const fields = (tag: number, channels: number, rate: number, frameBytes: number, bits: number): Uint8Array =>
  chunk('fmt ', concat(le(tag, 2), le(channels, 2), le(rate, 4), le(0, 4), le(frameBytes, 2), le(bits, 2)))

describe('codings that are not read are named', () => {
  test.each([
    [0x0002, 'ADPCM'],
    [0x0006, 'A-law'],
    [0x0007, 'mu-law'],
    [0x0011, 'IMA ADPCM'],
    [0x0031, 'GSM 06.10'],
    [0x0050, 'MPEG audio'],
    [0x0055, 'MPEG layer 3'],
    [0x00ff, 'AAC'],
    [0x0092, 'AC-3'],
    [0x1234, 'format tag 4660'],
  ])('tag %i: %s', (tag, name) => {
    for (const format of [plainFormat(tag, 1, 48000, 16), extensibleFormat(tag, 1, 48000, 16, 16, 0)])
      expect(refused(format)).toMatchObject({
        code: 'WAVE_FORMAT',
        message: `the audio is coded as ${name}`,
        expected: 'PCM (8, 16, 24 or 32 bit) or float (32 or 64 bit)',
        mend: 'convert it to PCM with the program that made it',
      })
  })

  test('a sub-format that is none of ours', () => {
    const strange = extensibleFormat(1, 1, 48000, 16, 16, 0).slice()
    strange[strange.length - 1] = 0
    expect(refused(strange).message).toBe('the audio is coded as an unknown sub-format')
  })
})

describe('limits', () => {
  test('1 to 64 channels', () => {
    expect(refused(plainFormat(1, 0, 48000, 16))).toMatchObject({
      code: 'WAVE_LIMIT',
      message: 'the header states 0 channels (byte 22)',
      expected: '1 to 64 channels',
    })
    expect(refused(plainFormat(1, 65, 48000, 16)).code).toBe('WAVE_LIMIT')
    expect(opened(plainFormat(1, 64, 48000, 16)).facts.channels).toBe(64)
  })

  test('8 to 384 kHz', () => {
    expect(refused(plainFormat(1, 1, 7999, 16))).toMatchObject({
      code: 'WAVE_LIMIT',
      message: 'the header states 7999 Hz (byte 24)',
      expected: '8000 to 384000 Hz',
    })
    expect(refused(plainFormat(1, 1, 384_001, 16)).code).toBe('WAVE_LIMIT')
    expect([8000, 384_000].map(rate => opened(plainFormat(1, 1, rate, 16)).facts.sampleRateHz)).toEqual([
      8000, 384_000,
    ])
  })

  test.each([
    [1, 0, 'PCM'],
    [1, 40, 'PCM'],
    [3, 16, 'float'],
    [3, 24, 'float'],
    [3, 63, 'float'],
  ])('tag %i of %i bit is no %s that is read', (tag, bits, kind) => {
    expect(refused(plainFormat(tag, 1, 48000, bits))).toMatchObject({
      code: 'WAVE_FORMAT',
      message: `the audio is ${bits} bit ${kind}`,
      expected: 'PCM of 8, 16, 24 or 32 bit, or float of 32 or 64 bit',
    })
  })

  test('bits within a container: 12 in 16, 20 in 24', () => {
    expect(opened(plainFormat(1, 1, 48000, 12)).format).toMatchObject({ coding: 's16', validBits: 12 })
    expect(opened(plainFormat(1, 1, 48000, 20)).format).toMatchObject({ coding: 's24', validBits: 20 })
    const valid = (stated: number): number =>
      opened(extensibleFormat(1, 1, 48000, 24, stated, 4)).format.validBits
    expect([0, 1, 20, 24, 25].map(valid)).toEqual([24, 1, 20, 24, 24])
    expect(opened(extensibleFormat(1, 1, 48000, 24, 24, 4)).format).toMatchObject({
      extensible: true,
      channelMask: 4,
      tag: 1,
    })
    expect(opened(plainFormat(1, 1, 48000, 24)).format).toMatchObject({
      extensible: false,
      channelMask: null,
    })
  })
})

describe('a chunk that contradicts itself', () => {
  test('too short, plain and extensible', () => {
    expect(refused(chunk('fmt ', new Uint8Array(14)))).toMatchObject({
      code: 'WAVE_HEADER',
      message: expect.stringContaining('the fmt chunk has 14 bytes') as string,
      expected: '16, 18 or 40 bytes',
    })
    const short = extensibleFormat(1, 1, 48000, 16, 16, 0).slice(8, 8 + 38)
    expect(refused(chunk('fmt ', short))).toMatchObject({
      code: 'WAVE_HEADER',
      message: expect.stringContaining('the fmt chunk is extensible but has 38 bytes') as string,
      expected: '40 bytes',
    })
  })

  test('bytes of a frame', () => {
    expect(refused(fields(1, 2, 48000, 3, 16))).toMatchObject({
      code: 'WAVE_HEADER',
      message: expect.stringContaining(
        'the header states 3 bytes per frame for 2 channels of 16 bit',
      ) as string,
      expected: '4',
    })
    // The bytes per second are not looked at: recorders get them wrong.
    expect(opened(fields(1, 2, 48000, 4, 16)).facts).toMatchObject({ channels: 2, frames: 6 })
  })
})
