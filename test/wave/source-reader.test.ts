import { createHash } from 'node:crypto'
import { expect, test } from 'vitest'
import { sha256OfFile } from '../../src/wave/hash.js'
import { probeWave } from '../../src/wave/probe.js'
import { openSource } from '../../src/wave/source-reader.js'
import { faultOf } from './faults-of.js'
import { chunk, integers, plainFormat, riff, temporaryFolder } from './wave-bytes.js'

const folder = temporaryFolder()
// Left 100, 101, …; centre 0; right -50, -51, …
const frames = Array.from({ length: 40 }, (_, frame) => [100 + frame, 0, -50 - frame])
const threeChannels = riff(plainFormat(1, 3, 44100, 16), chunk('data', integers(frames.flat(), 2)))
const scale = (values: Float64Array): number[] => Array.from(values, value => value * 2 ** 15)

test('all: every channel as it is', () => {
  const reader = openSource(folder.put('all.wav', threeChannels), { kind: 'all' })
  const into = [0, 1, 2].map(() => new Float64Array(3))
  reader.read(38, into)
  expect(reader.channels).toBe(3)
  expect(reader.facts.frames).toBe(40)
  expect(into.map(scale)).toEqual([
    [138, 139, 0],
    [0, 0, 0],
    [-88, -89, 0],
  ])
  reader.close()
})

test('pick: one channel, counted from 0', () => {
  const reader = openSource(folder.put('pick.wav', threeChannels), { kind: 'pick', index: 2 })
  const into = [new Float64Array(4)]
  reader.read(-1, into)
  expect(reader.channels).toBe(1)
  expect(scale(into[0]!)).toEqual([0, -50, -51, -52])
  reader.close()
})

test('mean: the sum of the channels divided by their number, for any length of request', () => {
  const reader = openSource(folder.put('mean.wav', threeChannels), { kind: 'mean' })
  const mean = (frame: number): number => (100 + frame) / 2 ** 15 + 0 + (-50 - frame) / 2 ** 15
  for (const length of [4, 4, 7]) {
    const into = [new Float64Array(length).fill(9)]
    reader.read(2, into)
    expect([...into[0]!]).toEqual(Array.from({ length }, (_, index) => mean(2 + index) / 3))
  }
  expect(reader.channels).toBe(1)
  expect(
    faultOf(() => {
      reader.read(0, [])
    }).code,
  ).toBe('INTERNAL')
  reader.close()
})

test('a channel that the file lacks is refused at once', () => {
  const path = folder.put('lacks.wav', threeChannels)
  expect(faultOf(() => openSource(path, { kind: 'pick', index: 3 }))).toMatchObject({
    code: 'INTERNAL',
    message: 'channel 4 of 3',
  })
})

test('probe tells the facts and the warnings and closes the file', () => {
  const path = folder.put('probe.wav', threeChannels.subarray(0, threeChannels.length - 6))
  const { facts, warnings } = probeWave(path)
  expect(facts).toEqual({
    sampleRateHz: 44100,
    channels: 3,
    frames: 39,
    bitDepth: 16,
    sampleFormat: 'int',
    stampSamples: null,
  })
  expect(warnings.map(warning => warning.code)).toEqual(['WAVE_TRUNCATED'])
})

test('the hash is SHA-256 of all bytes, whatever the file is', () => {
  for (const length of [0, 1, 2 ** 20, 2 ** 20 + 1, 3_000_000]) {
    const bytes = Uint8Array.from({ length }, (_, index) => index % 251)
    const expected = createHash('sha256').update(bytes).digest('hex')
    expect(sha256OfFile(folder.put('any.bin', bytes))).toBe(expected)
  }
  // Published: FIPS 180-4 example, SHA-256 of "abc".
  expect(sha256OfFile(folder.put('abc', [97, 98, 99]))).toBe(
    'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad',
  )
  const stopped = faultOf(() =>
    sha256OfFile(folder.path('any.bin'), { aborted: true, advance: () => undefined }),
  )
  expect(stopped.code).toBe('INTERRUPTED')
  expect(faultOf(() => sha256OfFile(folder.path('none'))).code).toBe('WAVE_UNREADABLE')
})
