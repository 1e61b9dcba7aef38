import fs from 'node:fs'
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { Depth } from '../../src/recipe/session.js'
import { sha256OfFile } from '../../src/wave/hash.js'
import type { StemMetadata } from '../../src/wave/stem-metadata.js'
import { openWave } from '../../src/wave/wave-file.js'
import { createWave, type WaveTarget } from '../../src/wave/wave-writer.js'
import { faultOf } from './faults-of.js'
import { allFrames, temporaryFolder } from './wave-bytes.js'

const folder = temporaryFolder()
const metadata: StemMetadata = {
  description: 'a stem',
  stampSamples: null,
  originator: 'Sumwell',
  codingHistory: [],
}

const target = (name: string, more: Partial<WaveTarget>): WaveTarget => ({
  path: folder.path(name),
  sampleRateHz: 48000,
  channels: 1,
  frames: 0,
  depth: 24,
  metadata,
  ...more,
})

/** Every value that has an end of its range, a carry or a sign in it. */
const extremes: Readonly<Record<`${Depth}`, readonly number[]>> = {
  '16': [-32768, 32767, 0, 1, -1, 255, 256, -256, -257, 4660].map(value => value / 2 ** 15),
  '24': [-8_388_608, 8_388_607, 0, 1, -1, 255, 256, 65_535, 65_536, -65_537, 0x123456].map(v => v / 2 ** 23),
  '32': [-2_147_483_648, 2_147_483_647, 0, 1, -1, 65_536, 0x12345678, -0x12345678].map(v => v / 2 ** 31),
  '32f': [0, 1, -1, 3.5, -1000, 2 ** -149, 3.4028234663852886e38, Math.fround(0.1)],
}

describe.each(['16', '24', '32', '32f'] as const)('depth %s', name => {
  const depth = name === '32f' ? name : (Number(name) as 16 | 24 | 32)

  test.each([1, 2, 3, 64])('what goes in comes out, at the extremes, in %i channels', channels => {
    const frames = 97 // no multiple of four: the rest of a packed word is met
    const block = Array.from({ length: channels }, (_, channel) =>
      Float64Array.from(
        { length: frames },
        (_unused, i) => extremes[name][(i + channel) % extremes[name].length]!,
      ),
    )
    const writer = createWave(target(`${name}-${channels}.wav`, { channels, frames, depth }))
    writer.write(block, frames)
    const { bytes, sha256 } = writer.commit()
    const path = folder.path(`${name}-${channels}.wav`)
    expect(bytes).toBe(fs.statSync(path).size)
    expect(bytes).toBe(writer.fileBytes)
    expect(sha256).toBe(sha256OfFile(path))
    const file = openWave(path)
    expect(file.warnings).toEqual([])
    expect(file.facts).toEqual({
      sampleRateHz: 48000,
      channels,
      frames,
      bitDepth: name === '16' ? 16 : name === '24' ? 24 : 32,
      sampleFormat: name === '32f' ? 'float' : 'int',
      stampSamples: null,
    })
    expect(allFrames(file)).toEqual(block.map(values => Array.from(values)))
    file.close()
  })

  test('the bytes do not depend on how the audio is cut into blocks', () => {
    const frames = 70_001
    const values = Float64Array.from({ length: frames }, (_, i) => (((i * 7919) % 65_536) - 32_768) / 2 ** 15)
    const other = values.slice().reverse()
    const written = (cuts: readonly number[]): string => {
      const writer = createWave(target(`cut-${name}.wav`, { channels: 2, frames, depth }))
      let at = 0
      for (const cut of [...cuts, frames]) {
        const count = Math.min(cut, frames - at)
        writer.write([values.subarray(at), other.subarray(at)], count) // a block may be longer than what counts of it
        at += count
      }
      return writer.commit().sha256
    }
    const whole = written([])
    let cutsTried = 0
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 0, max: 40_000 }), { maxLength: 6 }), cuts => {
        cutsTried++
        return written(cuts) === whole
      }),
      { seed: 4, numRuns: 8 },
    )
    expect(cutsTried).toBe(8)
  })
})

describe('values that cannot be stored are a bug of ours, and leave nothing behind', () => {
  const cases: readonly (readonly [Depth, number, RegExp])[] = [
    [16, 2 ** -16, /frame 1 of channel 2 is 0\.0000152587890625: that cannot be stored as 16 bit/],
    [16, 1, /frame 1 of channel 2 is 1:/],
    [24, 1, /is 1: that cannot be stored as 24 bit/],
    [24, -1 - 2 ** -23, /is -1\.0000001/],
    [24, 0.1, /is 0\.1:/],
    [24, 512, /is 512:/],
    [32, 1, /is 1: that cannot be stored as 32 bit/],
    [32, 2 ** -32, /that cannot be stored as 32 bit/],
    [24, Number.NaN, /is NaN/],
    [32, Number.POSITIVE_INFINITY, /is Infinity/],
    ['32f', Number.NaN, /is NaN: that cannot be stored as 32f bit/],
    ['32f', 3.5e38, /is 3\.5e\+38/],
  ]
  test.each(cases)('%s: %d', (depth, value, message) => {
    const writer = createWave(target('never.wav', { channels: 2, frames: 3, depth }))
    const block = [new Float64Array(3), Float64Array.of(0, value, 0)]
    const fault = faultOf(() => {
      writer.write(block, 3)
    })
    expect(fault.code).toBe('INTERNAL')
    expect(fault.message).toMatch(message)
    expect(
      fs.readdirSync(folder.path('.')).filter(name => name.includes('never') || name.endsWith('.part')),
    ).toEqual([])
  })

  test('so are a wrong number of channels or frames, and a target outside the limits', () => {
    const start = (): ReturnType<typeof createWave> =>
      createWave(target('never.wav', { channels: 1, frames: 3 }))
    const calls = [
      () => {
        start().write([new Float64Array(3), new Float64Array(3)], 3)
      },
      () => {
        start().write([new Float64Array(4)], 4)
      },
      () => {
        start().write([new Float64Array(2)], 3)
      }, // shorter than it is said to be
      () => start().commit(),
      () => createWave(target('never.wav', { channels: 65 })),
      () => createWave(target('never.wav', { frames: 1.5 })),
      () => createWave(target('never.wav', { sampleRateHz: 7999 })),
    ]
    for (const call of calls) expect(faultOf(call).code).toBe('INTERNAL')
    expect(
      fs.readdirSync(folder.path('.')).filter(name => name.includes('never') || name.endsWith('.part')),
    ).toEqual([])
  })
})

test('discard leaves nothing, twice as well; after commit the file stays', () => {
  const writer = createWave(target('discarded.wav', { frames: 2 }))
  writer.write([new Float64Array(1)], 1)
  expect(fs.readdirSync(folder.path('.')).filter(name => name.endsWith('.part'))).toHaveLength(1)
  writer.discard()
  writer.discard()
  expect(fs.readdirSync(folder.path('.')).filter(name => name.endsWith('.part'))).toEqual([])
  expect(fs.existsSync(folder.path('discarded.wav'))).toBe(false)

  const kept = createWave(target('kept.wav', { frames: 0 }))
  kept.commit()
  kept.discard()
  expect(fs.existsSync(folder.path('kept.wav'))).toBe(true)
})
