import fs from 'node:fs'
import { describe, expect, test } from 'vitest'
import { openWave } from '../../src/wave/wave-file.js'
import {
  ascii,
  bextChunk,
  concat,
  ds64,
  integers,
  le,
  longRiff,
  plainFormat,
  riff,
  temporaryFolder,
} from './wave-bytes.js'

const folder = temporaryFolder()

/** A file of which only the given stretches are on the disk; the rest reads as zeros and takes no room. */
const sparse = (
  name: string,
  bytes: number,
  stretches: readonly (readonly [at: number, bytes: Uint8Array])[],
): string => {
  const path = folder.path(name)
  const handle = fs.openSync(path, 'w')
  for (const [at, contents] of stretches) fs.writeSync(handle, contents, 0, contents.length, at)
  fs.ftruncateSync(handle, bytes)
  fs.closeSync(handle)
  return path
}

const FRAMES = 1_500_000_001 // 24 bit mono: 4 500 000 003 bytes, over 4 GiB and odd
const DATA_BYTES = 3 * FRAMES
const last = Uint8Array.from(integers([-3], 3))
const middle = Uint8Array.from(integers([1, 2, 3, 4], 3))

describe.each(['RF64', 'BW64'] as const)('%s of 4.5 GB', container => {
  test('reads its first, middle and last frame and what stands behind it', () => {
    const head = longRiff(
      container,
      ds64(DATA_BYTES + 1000, DATA_BYTES, FRAMES),
      plainFormat(1, 1, 48000, 24),
      ascii('data'),
      le(0xffffffff, 4),
      integers([7], 3),
    )
    const dataAt = head.length - 3
    const behind = dataAt + DATA_BYTES + 1
    const bext = bextChunk({ originator: 'recorder', timeReference: 5_000_000_000n })
    const path = sparse(`${container}.wav`, behind + bext.length, [
      [0, head],
      [dataAt + 3 * 1_450_000_000, middle],
      [dataAt + DATA_BYTES - 3, last],
      [behind, bext],
    ])
    const file = openWave(path)
    expect(file.facts).toMatchObject({ frames: FRAMES, stampSamples: 5_000_000_000 })
    expect(file.warnings).toEqual([])
    const into = [new Float64Array(6)]
    const scaled = (): number[] => Array.from(into[0]!, value => value * 2 ** 23)
    file.read(0, into)
    expect(scaled()).toEqual([7, 0, 0, 0, 0, 0])
    file.read(1_449_999_999, into)
    expect(scaled()).toEqual([0, 1, 2, 3, 4, 0])
    file.read(FRAMES - 3, into)
    expect(scaled()).toEqual([0, 0, -3, 0, 0, 0])
    file.close()
  })
})

test('a plain recording that grew past 4 GiB, so that its size went round, is read to its end with a warning', () => {
  const head = riff(plainFormat(1, 1, 48000, 24), ascii('data'), le(DATA_BYTES - 2 ** 32, 4))
  const path = sparse('round.wav', head.length + DATA_BYTES + 1, [
    [0, head],
    [head.length + DATA_BYTES - 3, last],
  ])
  const file = openWave(path)
  expect(file.facts.frames).toBe(FRAMES)
  expect(file.warnings.map(warning => warning.code)).toEqual(['WAVE_UNFINISHED'])
  const into = [new Float64Array(2)]
  file.read(FRAMES - 1, into)
  expect(into[0]![0]).toBe(-3 / 2 ** 23)
  file.close()
})

test('a chunk of 3 GiB before the audio is passed over, not read', () => {
  const size = 3 * 2 ** 30
  const head = riff(ascii('zz!9'), le(size, 4))
  const rest = concat(plainFormat(1, 1, 48000, 24), ascii('data'), le(6, 4), integers([5, 6], 3))
  const file = openWave(
    sparse('chunk.wav', head.length + size + rest.length, [
      [0, head],
      [head.length + size, rest],
    ]),
  )
  expect(file.facts.frames).toBe(2)
  expect(file.metadata.chunks).toEqual([{ id: 'zz!9', headerAt: 12, contents: null }])
  file.close()
})
