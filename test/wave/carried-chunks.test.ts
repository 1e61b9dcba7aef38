import { describe, expect, test } from 'vitest'
import { carriedChunks } from '../../src/wave/carried-chunks.js'
import type { WaveMetadata } from '../../src/wave/wave-metadata.js'
import { ascii, concat, le } from './wave-bytes.js'

/* Which chunks of a recording a stem carries on, chunk by chunk (found by `npm run mutants`). */

const cue = (...frames: number[]): Uint8Array =>
  concat(
    le(frames.length, 4),
    ...frames.map((frame, i) => concat(le(i + 1, 4), le(frame, 4), ascii('data'), le(0, 8), le(frame, 4))),
  )

const metadata = (
  chunks: readonly (readonly [id: string, contents: Uint8Array | null])[],
  cues: readonly number[] = [],
): WaveMetadata =>
  ({ chunks: chunks.map(([id, contents]) => ({ id, contents })), cues }) as unknown as WaveMetadata

const some = Uint8Array.of(1, 2)
const carried = (ids: readonly string[], atFrame: number | null = 0) => {
  const { chunks, dropped } = carriedChunks(metadata(ids.map(id => [id, some] as const)), atFrame, 100)
  return { kept: chunks.map(({ id }) => id), dropped }
}

describe('chunks of the recording', () => {
  test('that are written anew, or only kept room, are neither carried nor missed', () => {
    const ids = ['bext', 'iXML', 'fact', 'JUNK', 'junk', 'PAD ', 'FLLR']
    expect(carried(ids)).toEqual({ kept: [], dropped: [] })
    expect(carried(ids, null)).toEqual({ kept: [], dropped: [] })
  })

  test('that describe the very samples are left behind, by name', () => {
    const ids = [
      ...['PEAK', 'levl', 'smpl', 'inst', 'plst', 'slnt', 'chna', 'axml'],
      ...['bxml', 'MD5 ', 'umid', 'acid', 'strc', 'mext', 'qlty'],
    ]
    expect(carried(ids)).toEqual({ kept: [], dropped: ids.map(id => id.trim()) })
  })

  test('that are not known go along, made even; none where the shift changes on the way', () => {
    expect(carried(['abcd', 'wxyz'])).toEqual({ kept: ['abcd', 'wxyz'], dropped: [] })
    expect(carried(['abcd'], null)).toEqual({ kept: [], dropped: ['abcd'] })
    const odd = carriedChunks(metadata([['abcd', Uint8Array.of(7)]]), 0, 100)
    expect([...odd.chunks[0]!.contents]).toEqual([7, 0])
    const even = carriedChunks(metadata([['abcd', some]]), 0, 100)
    expect(even.chunks[0]!.contents).toBe(some)
    expect(carriedChunks(metadata([['long', null]]), 0, 100).dropped).toEqual(['long'])
    expect(carriedChunks(undefined, 0, 100)).toEqual({ chunks: [], dropped: [] })
  })
})

describe('markers', () => {
  const info = concat(ascii('INFO'), ascii('INAM'), le(2, 4), ascii('ab'))
  const labels = concat(ascii('adtl'), ascii('labl'), le(4, 4), le(1, 4))
  const all = [
    ['LIST', info],
    ['cue ', cue(10, 90)],
    ['LIST', labels],
  ] as const

  test('move with the sound, with their labels; those that are cut off are counted', () => {
    const { chunks, dropped } = carriedChunks(metadata(all, [10, 90]), -20, 100)
    expect(chunks.map(({ id }) => id)).toEqual(['LIST', 'cue ', 'LIST'])
    expect([...chunks[1]!.contents]).toEqual([
      ...concat(le(1, 4), le(2, 4), le(70, 4), ascii('data'), le(0, 8), le(70, 4)),
    ])
    expect(dropped).toEqual(['1 of 2 markers'])
    expect(carriedChunks(metadata(all, [10, 90]), 5, 100).dropped).toEqual([])
  })

  test('none left, or none readable: labels go with them, texts stay', () => {
    const gone = carriedChunks(metadata(all, [10, 90]), -100, 100)
    expect(gone.chunks.map(({ id }) => id)).toEqual(['LIST'])
    expect(gone.dropped).toEqual(['cue', 'LIST'])
    expect(carriedChunks(metadata(all), 0, 100).dropped).toEqual(['cue', 'LIST'])
  })
})
