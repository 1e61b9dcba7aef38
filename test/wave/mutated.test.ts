import fs from 'node:fs'
import { expect, test } from 'vitest'
import { SumwellError } from '../../src/terms/fault.js'
import { openWave } from '../../src/wave/wave-file.js'
import {
  ascii,
  bextChunk,
  chunk,
  concat,
  ds64,
  extensibleFormat,
  floats32,
  integers,
  ixmlChunk,
  le,
  longRiff,
  plainFormat,
  riff,
  temporaryFolder,
} from './wave-bytes.js'

const folder = temporaryFolder()

/** 32 bits at a time from a seed (xorshift). */
const random = (seed: number): ((below: number) => number) => {
  let state = seed | 1
  return below => {
    state ^= state << 13
    state ^= state >>> 17
    state ^= state << 5
    return (state >>> 0) % below
  }
}

const cue = chunk(
  'cue ',
  concat(le(2, 4), ...[1, 2].map(id => concat(le(id, 4), le(id, 4), ascii('data'), le(0, 8), le(id, 4)))),
)
const labels = chunk('LIST', concat(ascii('adtl'), chunk('labl', concat(le(1, 4), ascii('verse\0')))))
const info = chunk(
  'LIST',
  concat(ascii('INFO'), chunk('INAM', ascii('Bass\0')), chunk('ICMT', ascii('take 4\0'))),
)
const ixml = ixmlChunk(
  '<SPEED><FILE_SAMPLE_RATE>48000</FILE_SAMPLE_RATE><TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_LO>7</TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_LO></SPEED>',
)
const bext = bextChunk({ originator: 'recorder', version: 2, timeReference: 7n, history: 'A=PCM\r\n' })
const values = Array.from({ length: 50 }, (_, index) => index - 25)

const seeds: readonly Uint8Array[] = [
  riff(plainFormat(1, 1, 48000, 24), bext, ixml, chunk('data', integers(values, 3)), cue, labels, info),
  riff(
    cue,
    info,
    labels,
    extensibleFormat(1, 2, 96000, 16, 16, 3),
    chunk('data', integers(values, 2)),
    bext,
    ixml,
  ),
  longRiff(
    'RF64',
    ds64(900, 200, 50, [['bext', 609]]),
    bext,
    plainFormat(3, 1, 48000, 32),
    ascii('data'),
    le(0xffffffff, 4),
    floats32(values),
    ixml,
  ),
]

const awkward = [0, 1, 2, 3, 0x7f, 0x80, 0xfe, 0xff]

/** One to six changes: bytes, sizes, cuts, doubled or swapped stretches. */
const mutate = (original: Uint8Array, below: (limit: number) => number): Uint8Array => {
  let bytes: Uint8Array = original.slice()
  const headerEnd = Math.min(bytes.length, 1200)
  for (let change = below(6); change >= 0; change--) {
    const at = below(Math.min(headerEnd, bytes.length))
    const kind = below(8)
    if (kind < 3) bytes[at] = below(256)
    else if (kind < 5) bytes[at] = awkward[below(awkward.length)]!
    else if (kind === 5)
      bytes.set(le([0, 1, 0x7fffffff, 0x80000000, 0xffffffff][below(5)]!, 4).slice(0, bytes.length - at), at)
    else if (kind === 6) bytes = bytes.slice(0, Math.max(1, below(bytes.length)))
    else {
      const length = below(60)
      bytes = concat(bytes.subarray(0, at), bytes.subarray(at, at + length), bytes.subarray(at))
    }
    if (bytes.length < 40) break
  }
  return bytes
}

test('thousands of damaged headers: opened and read, or a fault that says why; never a crash; a hang ends in the time limit of the test', () => {
  const below = random(20_260_902)
  let opened = 0
  const codes = new Map<string, number>()
  for (let round = 0; round < 3000; round++) {
    // A new file each time: cutting an old one to nothing makes some disks flush.
    const path = folder.put(`mutated-${round}.wav`, mutate(seeds[round % seeds.length]!, below))
    try {
      const file = openWave(path)
      try {
        const { channels, frames } = file.facts
        expect(frames).toBeLessThan(10_000)
        const into = Array.from({ length: channels }, () => new Float64Array(64))
        file.read(-3, into)
        file.read(Math.max(0, frames - 30), into)
        for (const channel of into)
          for (const value of channel) if (!Number.isFinite(value)) throw new Error('not finite')
        opened++
      } finally {
        file.close()
      }
    } catch (error) {
      if (!(error instanceof SumwellError)) throw new Error(`round ${round}`, { cause: error })
      for (const { code, message } of error.faults) {
        codes.set(code, (codes.get(code) ?? 0) + 1)
        expect(message).not.toMatch(/undefined|NaN(?! \()|\[object/)
        if (code === 'WAVE_HEADER') expect(message).toMatch(/\(byte \d+\)$/)
      }
    }
    fs.unlinkSync(path)
  }
  expect(codes.has('INTERNAL')).toBe(false)
  expect(opened).toBeGreaterThan(700)
  for (const code of ['WAVE_NOT_WAVE', 'WAVE_HEADER', 'WAVE_FORMAT', 'WAVE_LIMIT', 'WAVE_NOT_A_NUMBER']) {
    expect([code, (codes.get(code) ?? 0) > 10]).toEqual([code, true])
  }
})
