import fs from 'node:fs'
import path from 'node:path'
import { describe, expect, test } from 'vitest'
import { blend, file, group } from '../decide/setting/song.js'
import { noise } from '../signal/signals.js'
import { chunk, plainFormat, riff } from '../wave/wave-bytes.js'
import {
  audioBytes,
  expectSame,
  newFolder,
  onGrid,
  renderFor,
  samplesOf,
  stemFile,
  take,
} from './setting/takes.js'

// Quiet at both edges, so that no fade is owed.
const quietEdges = (samples: Float64Array): Float64Array =>
  samples.fill(0, 0, 500).fill(0, samples.length - 500)
const sound = (name: string, frames = 70000): Float64Array => quietEdges(noise(name, frames, 0.9))

/** `samples` moved by whole frames inside a stem of `frames`. */
const shifted = (samples: Float64Array, by: number, frames: number): Float64Array =>
  Float64Array.from({ length: frames }, (_, i) => samples[i - by] ?? 0)

describe('bit-exact copies', () => {
  test.each([16, 24, 32, '32f'] as const)(
    'the reference of %s has the very bytes of its file',
    async depth => {
      const folder = newFolder()
      const reference = take(folder, 'ref', [sound('a'), sound('b')], { depth })
      const other = take(folder, 'other', [sound('c')], { depth, measured: { lagSamples: 0.5 } })
      const { plan } = await renderFor([group('g', [reference, other])], {
        folder: path.join(folder, 'out'),
        depth,
      })
      expect(audioBytes(stemFile(plan, 'g_ref')).equals(audioBytes(path.join(folder, 'ref.wav')))).toBe(true)
    },
  )

  test('whole-frame moves, either way and more than a block, at the same depth', async () => {
    const folder = newFolder()
    const samples = onGrid(sound('late'), 24)
    const sources = [-40000, -1, 1, 364].map(lagSamples =>
      take(folder, `lag${lagSamples}`, [samples], { measured: { lagSamples } }),
    )
    const groups = [group('g', [take(folder, 'ref', [samples]), ...sources])]
    const { plan, rendered } = await renderFor(groups, { folder: path.join(folder, 'out') })
    for (const lag of [-40000, -1, 1, 364]) {
      const [written] = samplesOf(stemFile(plan, `g_lag${lag}`))
      expectSame(written!, shifted(samples, -lag, 110000))
    }
    expect(plan.stems.every(stem => !stem.dither)).toBe(true)
    expect(rendered.flatMap(stem => stem.fades)).toEqual([])
  })

  test('8 and 16 bit into 24 keep their values', async () => {
    const folder = newFolder()
    const words = Array.from({ length: 300 }, (_, i) => (i < 60 || i >= 240 ? 128 : (i * 37) % 256))
    fs.writeFileSync(path.join(folder, 'eight.wav'), riff(plainFormat(1, 1, 48000, 8), chunk('data', words)))
    const facts = {
      sampleRateHz: 48000,
      channels: 1,
      frames: 300,
      bitDepth: 8,
      sampleFormat: 'int' as const,
      stampSamples: null,
    }
    const eight = file(
      'eight',
      { frames: 300, bitDepth: 8, lagSamples: -3, samplePeakDbfs: 0 },
      { file: path.join(folder, 'eight.wav'), facts },
    )
    const { plan } = await renderFor(
      [group('g', [take(folder, 'ref', [sound('a', 300)], { depth: 16 }), eight])],
      { folder: path.join(folder, 'out') },
    )
    expect(plan.stems.map(stem => [stem.depth, stem.dither])).toEqual([
      [24, false],
      [24, false],
    ])
    expect(samplesOf(stemFile(plan, 'g_eight'))[0]).toEqual(
      shifted(
        Float64Array.from(words, word => (word - 128) / 128),
        3,
        303,
      ),
    )
    expect(samplesOf(stemFile(plan, 'g_ref'))[0]!.subarray(0, 300)).toEqual(
      samplesOf(path.join(folder, 'ref.wav'))[0],
    )
  })

  test('inverting never wraps: the most negative value becomes the most positive', async () => {
    const folder = newFolder()
    const samples = onGrid(sound('x', 2000), 24)
    samples[500] = -1
    samples[501] = 1 - 2 ** -23
    const inverted = take(folder, 'x', [samples], { measured: { polarity: 'inverted', lagSamples: -10 } })
    const { plan } = await renderFor([group('g', [take(folder, 'ref', [samples]), inverted])], {
      folder: path.join(folder, 'out'),
    })
    const [written] = samplesOf(stemFile(plan, 'g_x'))
    const expected = shifted(
      samples.map(value => Math.min(-value, 1 - 2 ** -23)),
      10,
      2010,
    )
    expectSame(written!, expected)
    expect(written![510]! * 2 ** 23).toBe(8388607)
    // the last word of the bytes themselves: +8388607, little-endian
    expect([...audioBytes(stemFile(plan, 'g_x')).subarray(3 * 510, 3 * 511)]).toEqual([0xff, 0xff, 0x7f])
  })

  test('floats above full scale, zeros of either sign and tiny values pass into 32f untouched', async () => {
    const folder = newFolder()
    const values = Float64Array.of(0, -0, 0, 0, 1.5, -3.25, 1e-30, -1e-40, 0.1, 0, 0, 0).map(Math.fround)
    const body = Buffer.from(Float32Array.from(values).buffer)
    fs.writeFileSync(path.join(folder, 'float.wav'), riff(plainFormat(3, 1, 48000, 32), chunk('data', body)))
    const facts = {
      sampleRateHz: 48000,
      channels: 1,
      frames: 12,
      bitDepth: 32,
      sampleFormat: 'float' as const,
      stampSamples: null,
    }
    const float = file(
      'float',
      { frames: 12, bitDepth: 32, samplePeakDbfs: 10.3, truePeakDbtp: 11 },
      { file: path.join(folder, 'float.wav'), facts },
    )
    const { plan } = await renderFor([group('g', [float])], {
      folder: path.join(folder, 'out'),
      depth: '32f',
    })
    expect(audioBytes(stemFile(plan, 'g_float'))).toEqual(body)
  })

  test('a plain sum of whole moves at unit gain is exact', async () => {
    const folder = newFolder()
    const a = onGrid(
      sound('a').map(value => value / 4),
      24,
    )
    const b = onGrid(
      sound('b').map(value => value / 4),
      24,
    )
    const groups = [
      group(
        'g',
        [
          take(folder, 'a', [a]),
          take(folder, 'b', [b], { measured: { lagSamples: 100, polarity: 'inverted' } }),
        ],
        {
          blends: [blend('mix', { a: '0 dB', b: '0 dB' }, { match: 'none' })],
        },
      ),
    ]
    const { plan } = await renderFor(groups, { folder: path.join(folder, 'out'), stems: 'none' })
    expect(plan.stems[0]?.dither).toBe(false)
    const moved = shifted(b, -100, 70000)
    expectSame(
      samplesOf(stemFile(plan, 'mix'))[0]!,
      a.map((value, i) => value - moved[i]!),
    )
  })
})
