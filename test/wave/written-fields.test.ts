import { expect, test } from 'vitest'
import { formatBroadcastExtension, parseBroadcastExtension } from '../../src/wave/broadcast-extension.js'
import { formatIxml } from '../../src/wave/ixml.js'
import { parseListTexts } from '../../src/wave/marker-chunks.js'
import { stampOf } from '../../src/wave/time-stamp.js'
import { layOutHeader } from '../../src/wave/wave-header.js'
import type { Ixml } from '../../src/wave/wave-metadata.js'

/*
 * Fields of chunks one by one, against the layouts that their standards print: RIFF and `fmt ` from memory, `bext` EBU Tech 3285.
 */

const viewOf = (bytes: Uint8Array): DataView => new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)

test('fmt: bytes a second are the rate times the bytes of a frame, for every depth and number of channels', () => {
  let compared = 0
  for (const [depth, bytes] of [
    [16, 2],
    [24, 3],
    [32, 4],
    ['32f', 4],
  ] as const)
    for (const channels of [1, 2, 6])
      for (const sampleRateHz of [44_100, 96_000]) {
        const { header } = layOutHeader({
          sampleRateHz,
          channels,
          frames: 10,
          depth,
          channelMask: null,
          chunks: [],
        })
        const text = Buffer.from(header).toString('latin1')
        const format = viewOf(header.subarray(text.indexOf('fmt ') + 8))
        expect(format.getUint32(4, true)).toBe(sampleRateHz)
        expect(format.getUint32(8, true)).toBe(sampleRateHz * channels * bytes)
        expect(format.getUint16(12, true)).toBe(channels * bytes)
        compared += 1
      }
  expect(compared).toBe(24)
})

test('bext: a history of any length is kept whole, in an even number of bytes', () => {
  for (const line of ['A=PCM,F=48000,W=24', 'A=PCM,F=48000,W=24,M=mono', 'odd']) {
    const contents = formatBroadcastExtension({
      description: '',
      originator: '',
      originatorReference: '',
      originationDate: '',
      originationTime: '',
      timeReference: 0n,
      codingHistory: [line],
      loudness: null,
    })
    expect(contents.length % 2).toBe(0)
    expect(parseBroadcastExtension(contents).codingHistory).toEqual([line])
  }
})

test('iXML: an even number of bytes, and never more than one line end for it', () => {
  let padded = 0
  for (const note of ['', 'a', 'ab', 'abc']) {
    const contents = formatIxml({
      note,
      sampleRateHz: 48_000,
      bitDepth: 24,
      stampSamples: 0,
      trackNames: ['piezo'],
      session: [],
      timecode: [],
    })
    const text = Buffer.from(contents).toString('utf8').replace(/\0+$/, '')
    expect(contents.length % 2).toBe(0)
    expect(text).toMatch(/<\/BWFXML>\n{1,2}$/)
    if (text.endsWith('\n\n')) padded += 1
  }
  expect(padded).toBe(2) // one letter more or less changes which length is odd
})

test('LIST adtl: a note at a marker is not its label', () => {
  const entry = (id: string, point: number, text: string): Buffer => {
    const contents = Buffer.concat([Buffer.from([point, 0, 0, 0]), Buffer.from(`${text}\0`)])
    const size = Buffer.alloc(4)
    size.writeUInt32LE(contents.length)
    return Buffer.concat([
      Buffer.from(id),
      size,
      contents,
      contents.length % 2 === 1 ? Buffer.alloc(1) : Buffer.alloc(0),
    ])
  }
  const list = Buffer.concat([
    Buffer.from('adtl'),
    entry('labl', 1, 'verse'),
    entry('note', 1, 'too loud'),
    entry('note', 2, 'no label'),
  ])
  expect([...parseListTexts(list).labels]).toEqual([[1, 'verse']])
})

test('iXML: a time stamp that counts at no rate says nothing', () => {
  const ixml = (stampRateHz: number | null): Ixml => ({
    text: '',
    stamp: 96_000n,
    stampRateHz,
    tellsSpeed: true,
    session: [],
    timecode: [],
    trackNames: [],
  })
  const stamp = (rate: number | null): number | null =>
    stampOf('a.wav', { broadcast: null, ixml: ixml(rate), cues: [], info: [], chunks: [] }, 48_000)
      .stampSamples
  expect([stamp(null), stamp(48_000), stamp(96_000), stamp(0)]).toEqual([96_000, 96_000, 48_000, null])
})
