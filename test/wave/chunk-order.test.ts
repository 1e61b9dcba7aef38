import { describe, expect, test } from 'vitest'
import { openWave } from '../../src/wave/wave-file.js'
import {
  allFrames,
  ascii,
  bextChunk,
  chunk,
  concat,
  ds64,
  integers,
  ixmlChunk,
  le,
  longRiff,
  plainFormat,
  riff,
  temporaryFolder,
} from './wave-bytes.js'

const folder = temporaryFolder()
const values = [1, -2, 3, -4, 5]
const format = plainFormat(1, 1, 48000, 24)
const data = chunk('data', integers(values, 3)) // 15 bytes: odd
const exact = [values.map(value => value / 2 ** 23)]

const bext = bextChunk({ originator: 'recorder', timeReference: 480_000n, history: 'A=PCM\r\n' }) // 609: odd
const ixml = ixmlChunk('<PROJECT>Lantern</PROJECT>')
const info = chunk('LIST', concat(ascii('INFO'), chunk('INAM', ascii('Bass\0'))))
const strange = chunk('zz!9', [1, 2, 3]) // odd

describe('chunks in any order', () => {
  const orders: readonly (readonly [string, readonly Uint8Array[]])[] = [
    ['before the audio', [format, bext, ixml, info, strange, data]],
    ['before the format', [strange, bext, ixml, info, format, data]],
    ['after the audio', [format, data, strange, bext, ixml, info]],
    ['around the audio', [bext, format, strange, data, info, ixml]],
    ['audio before its format', [bext, data, format, ixml, info, strange]],
  ]
  test.each(orders)('%s', (name, chunks) => {
    const file = openWave(folder.put(`${name}.wav`, riff(...chunks)))
    expect(allFrames(file)).toEqual(exact)
    expect(file.warnings).toEqual([])
    expect(file.facts.stampSamples).toBe(480_000)
    expect(file.metadata.broadcast).toMatchObject({ originator: 'recorder', codingHistory: ['A=PCM'] })
    expect(file.metadata.ixml?.session).toEqual([['PROJECT', 'Lantern']])
    expect(file.metadata.info).toEqual([{ id: 'INAM', text: 'Bass' }])
    const unknown = file.metadata.chunks.find(raw => raw.id === 'zz!9')
    expect(unknown?.contents).toEqual(Uint8Array.of(1, 2, 3))
    file.close()
  })

  test('an odd chunk without its pad byte is read with a warning', () => {
    const bytes = riff(format, concat(ascii('bext'), le(3, 4), [1, 2, 3]), data)
    const file = openWave(folder.put('no pad.wav', bytes))
    expect(allFrames(file)).toEqual(exact)
    expect(file.warnings.map(warning => warning.code)).toEqual(['WAVE_METADATA', 'WAVE_METADATA'])
    expect(file.warnings[0]!.message).toBe(
      'no pad.wav: the chunk "bext" (byte 36) lacks its pad byte; it is read all the same',
    )
    file.close()
  })

  test('what follows the audio and is no chunk is left out with a warning', () => {
    const file = openWave(folder.put('tail.wav', riff(format, data, info, [0, 1, 2, 3, 4, 5, 6, 7, 8])))
    expect(allFrames(file)).toEqual(exact)
    expect(file.metadata.info).toHaveLength(1)
    expect(file.warnings.map(warning => warning.code)).toEqual(['WAVE_METADATA'])
    file.close()
  })
})

describe.each(['RF64', 'BW64'] as const)('%s', container => {
  const sized = (dataBytes: number | bigint): Uint8Array => ds64(999, dataBytes, 5)
  const openData = (contents: Uint8Array): Uint8Array =>
    concat(ascii('data'), le(0xffffffff, 4), contents.subarray(8))

  test('takes the size of the audio from ds64, and finds what stands behind it', () => {
    const file = openWave(
      folder.put(`${container}.wav`, longRiff(container, sized(15), format, openData(data), bext)),
    )
    expect(file.format).toMatchObject({ container, dataAt: 80, dataBytes: 15 })
    expect(allFrames(file)).toEqual(exact)
    expect(file.facts.stampSamples).toBe(480_000)
    expect(file.warnings).toEqual([])
    file.close()
  })

  test('lets a size stand that is not 0xFFFFFFFF, and looks up other long chunks', () => {
    const other = concat(ascii('zz!9'), le(0xffffffff, 4), [7, 7, 7, 0])
    const table = ds64(999, 4_000_000_000, 5, [['zz!9', 3]])
    const file = openWave(
      folder.put(`${container} 2.wav`, longRiff(container, table, other, format, data, bext)),
    )
    expect(allFrames(file)).toEqual(exact)
    expect(file.metadata.chunks[0]).toEqual({ id: 'zz!9', headerAt: 60, contents: Uint8Array.of(7, 7, 7) })
    expect(file.facts.stampSamples).toBe(480_000)
    file.close()
  })

  test('reads to the end where ds64 was never filled in', () => {
    const file = openWave(
      folder.put(`${container} 3.wav`, longRiff(container, sized(0), format, openData(data))),
    )
    expect(allFrames(file)[0]!.slice(0, 5)).toEqual(exact[0])
    expect(file.warnings.map(warning => warning.code)).toEqual(['WAVE_UNFINISHED'])
    file.close()
  })
})

test('a pad byte counted into the size of RF64 is no torn frame', () => {
  const bytes = longRiff(
    'RF64',
    ds64(999, 16, 5),
    format,
    ascii('data'),
    le(0xffffffff, 4),
    integers(values, 3),
    [0],
  )
  const file = openWave(folder.put('counted pad.wav', bytes))
  expect(allFrames(file)).toEqual(exact)
  expect(file.warnings).toEqual([])
  file.close()
})
