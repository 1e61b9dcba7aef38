import { describe, expect, test } from 'vitest'
import { formatBroadcastExtension, parseBroadcastExtension } from '../../src/wave/broadcast-extension.js'
import { formatIxml, parseIxml } from '../../src/wave/ixml.js'
import { parseListTexts } from '../../src/wave/marker-chunks.js'
import { openWave } from '../../src/wave/wave-file.js'
import {
  ascii,
  bextChunk,
  chunk,
  concat,
  integers,
  ixmlChunk,
  le,
  plainFormat,
  riff,
  temporaryFolder,
} from './wave-bytes.js'

/* Chunks of metadata by themselves, at what is odd in them (found by `npm run mutants`). */

const folder = temporaryFolder()

describe('sizes are even, whatever stands in them', () => {
  test('iXML', () => {
    const text = (note: string) =>
      formatIxml({
        sampleRateHz: 48000,
        bitDepth: 24,
        stampSamples: null,
        note,
        trackNames: [],
        session: [],
        timecode: [],
      })
    for (const note of ['', 'a', 'ab', 'abc']) {
      const contents = text(note)
      expect(contents.length % 2, note).toBe(0)
      expect(parseIxml(contents)).toMatchObject({ stamp: null })
      expect(new TextDecoder().decode(contents).replace(/\n+$/, '')).toMatch(/<\/BWFXML>$/)
    }
    expect(text('a').length - text('').length).toBeLessThanOrEqual(2)
  })

  test('bext', () => {
    const parsed = parseBroadcastExtension(bextChunk({ description: 'bass', version: 1 }).subarray(8))
    for (const line of ['A=PCM', 'A=PCM,', 'A=PCM,T', 'A=PCM,T=x']) {
      const written = formatBroadcastExtension({ ...parsed, codingHistory: [line] })
      expect(written.length % 2, line).toBe(0)
      expect(parseBroadcastExtension(written)).toMatchObject({ description: 'bass', codingHistory: [line] })
    }
  })
})

test('labels are entries `labl` that are long enough for their point; notes and others are none', () => {
  const list = concat(
    ascii('adtl'),
    chunk('labl', concat(le(7, 4), ascii('chorus\0'))),
    chunk('note', concat(le(8, 4), ascii('a note\0'))),
    chunk('labl', le(9, 2)),
    chunk('labl', le(3, 4)),
  )
  const { info, labels } = parseListTexts(list)
  expect(info).toEqual([])
  expect([...labels]).toEqual([
    [7, 'chorus'],
    [3, ''],
  ])
})

test('a stamp that counts at no rate at all is none', () => {
  const stamped = (rate: string) => {
    const ixml = ixmlChunk(
      `<SPEED><FILE_SAMPLE_RATE>48000</FILE_SAMPLE_RATE><TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_HI>0</TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_HI><TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_LO>96000</TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_LO><TIMESTAMP_SAMPLE_RATE>${rate}</TIMESTAMP_SAMPLE_RATE></SPEED>`,
    )
    const file = openWave(
      folder.put('stamp.wav', riff(plainFormat(1, 1, 48000, 16), ixml, chunk('data', integers([1], 2)))),
    )
    file.close()
    return file.facts.stampSamples
  }
  expect([stamped('48000'), stamped('96000'), stamped('0.0001')]).toEqual([96000, 48000, null])
})
