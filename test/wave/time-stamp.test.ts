import { expect, test } from 'vitest'
import { probeWave } from '../../src/wave/probe.js'
import { type Bytes, bextChunk, chunk, ixmlChunk, plainFormat, riff, temporaryFolder } from './wave-bytes.js'

const folder = temporaryFolder()

const stampOfFile = (
  rate: number,
  ...chunks: readonly Bytes[]
): { stamp: number | null; warnings: string[] } => {
  const path = folder.put('stamp.wav', riff(plainFormat(1, 1, rate, 16), ...chunks, chunk('data', [0, 0])))
  const { facts, warnings } = probeWave(path)
  return { stamp: facts.stampSamples, warnings: warnings.map(warning => warning.message) }
}

const bext = (timeReference: bigint, originator = ''): Uint8Array => bextChunk({ timeReference, originator })
const ixml = (high: number | null, low: number | null, stampRate?: number | string): Uint8Array =>
  ixmlChunk(
    `<SPEED><FILE_SAMPLE_RATE>48000</FILE_SAMPLE_RATE>${
      high === null
        ? ''
        : `<TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_HI>${high}</TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_HI>`
    }${low === null ? '' : `<TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_LO>${low}</TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_LO>`}${
      stampRate === undefined ? '' : `<TIMESTAMP_SAMPLE_RATE>${stampRate}</TIMESTAMP_SAMPLE_RATE>`
    }</SPEED>`,
  )

test('from bext: unsigned, over 2^31 and over 2^32', () => {
  expect(stampOfFile(48000, bext(2_246_400_000n)).stamp).toBe(13 * 3600 * 48000)
  expect(stampOfFile(96000, bext(4_492_800_000n)).stamp).toBe(13 * 3600 * 96000)
})

test('from iXML: the halves are numbers, never digits strung together', () => {
  expect(stampOfFile(96000, ixml(1, 197_832_704, 96000)).stamp).toBe(4_492_800_000)
  expect(stampOfFile(48000, ixml(null, 5, 48000)).stamp).toBe(5)
  expect(stampOfFile(48000, ixml(1, null, 48000)).stamp).toBeNull()
  expect(stampOfFile(48000, ixml(0, 4_294_967_295)).stamp).toBe(4_294_967_295)
})

test('a stamp that counts at another rate is brought to the rate of the file, rounded', () => {
  expect(stampOfFile(96000, ixml(0, 48001, 48000)).stamp).toBe(96002)
  expect(stampOfFile(44100, ixml(0, 3, 48000)).stamp).toBe(3) // 2.756
  expect(stampOfFile(48000, ixml(0, 47_952_048, '47952.048')).stamp).toBe(48_000_000)
})

test('bext wins, and a difference of more than a frame is told', () => {
  const agreed = stampOfFile(48000, bext(480_001n), ixml(0, 480_000, 48000))
  expect(agreed).toEqual({ stamp: 480_001, warnings: [] })
  const apart = stampOfFile(48000, bext(480_002n), ixml(0, 480_000, 48000))
  expect(apart.stamp).toBe(480_002)
  expect(apart.warnings).toEqual([
    'stamp.wav: the time stamps differ: 480002 frames in bext, 480000 in iXML; bext is used',
  ])
})

test('without stamp', () => {
  expect(stampOfFile(48000)).toEqual({ stamp: null, warnings: [] })
  expect(stampOfFile(48000, ixmlChunk('<PROJECT>x</PROJECT>'))).toEqual({ stamp: null, warnings: [] })
})

test('a 0 in bext is midnight only where somebody meant it', () => {
  const table: readonly (readonly [string, readonly Uint8Array[], number | null])[] = [
    ['an otherwise empty bext', [bext(0n)], null],
    ['with an originator', [bext(0n, 'recorder')], 0],
    ['with a date', [bextChunk({ date: '2026-09-01' })], 0],
    ['iXML states 0 as well', [bext(0n), ixml(0, 0, 48000)], 0],
    ['iXML alone states 0', [ixml(0, 0, 48000)], 0],
    ['iXML tells rates but no stamp', [bext(0n, 'recorder'), ixml(null, null)], null],
    ['iXML tells nothing of speed', [bext(0n, 'recorder'), ixmlChunk('<PROJECT>x</PROJECT>')], 0],
    ['iXML states another', [bext(0n, 'recorder'), ixml(0, 77, 48000)], 77],
  ]
  for (const [name, chunks, stamp] of table)
    expect([name, stampOfFile(48000, ...chunks).stamp]).toEqual([name, stamp])
})

test('a number that is no time of day is left out and told', () => {
  const { stamp, warnings } = stampOfFile(48000, bext(0xffff_ffff_ffff_ffffn))
  expect(stamp).toBeNull()
  expect(warnings).toEqual([
    'stamp.wav: the time stamp 18446744073709551615 cannot be a time of day; it is left out',
  ])
  expect(stampOfFile(48000, bext(BigInt(Number.MAX_SAFE_INTEGER))).stamp).toBe(Number.MAX_SAFE_INTEGER)
})
