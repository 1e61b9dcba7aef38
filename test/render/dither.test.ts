import { createHash } from 'node:crypto'
import fs from 'node:fs'
import path from 'node:path'
import { describe, expect, test } from 'vitest'
import type { Plan } from '../../src/decide/plan.js'
import { renderPlan } from '../../src/render/render-plan.js'
import { stemInput } from '../../src/render/stem-input.js'
import { openMix } from '../../src/render/stem-mix.js'
import { blend, group } from '../decide/setting/song.js'
import { cuts, noise, sine } from '../signal/signals.js'
import {
  audioBytes,
  contentsOf,
  expectSame,
  newFolder,
  onGrid,
  planFor,
  renderFor,
  samplesOf,
  stemFile,
  take,
  tasks,
} from './setting/takes.js'

const FRAMES = 100000

const fractional = (folder: string, depth: 16 | 24 = 24) => [
  group(
    'g',
    [
      take(folder, 'ref', [sine(997, 48000, FRAMES, { amplitude: 0.3 })], { depth }),
      take(folder, 'late', [sine(440, 48000, FRAMES, { amplitude: 0.2 })], {
        depth,
        measured: { lagSamples: 3.31 },
      }),
      take(folder, 'pair', [noise('l', FRAMES, 0.1), noise('r', FRAMES, 0.1)], {
        depth,
        measured: { lagSamples: 7.5 },
      }),
    ],
    { blends: [blend('mix', { ref: 40, late: 30, pair: 30 })] },
  ),
]

describe('dither', () => {
  test('24 bit into 16 by a whole move: TPDF error, a quarter of a step squared', async () => {
    const folder = newFolder()
    const samples = onGrid(sine(997, 48000, FRAMES, { amplitude: 0.3 }), 24)
    const groups = [group('g', [take(folder, 'a', [samples])])]
    const { plan } = await renderFor(groups, { folder: path.join(folder, 'out'), depth: 16 })
    const [written] = samplesOf(stemFile(plan, 'g_a'))
    const error = written!.map((value, i) => (value - samples[i]!) * 32768)
    const mean = error.reduce((sum, x) => sum + x, 0) / FRAMES
    const square = error.reduce((sum, x) => sum + x * x, 0) / FRAMES
    // mean 0 and mean square 1/4 whatever the signal (Wannamaker et al. 2000); 5 sigma of 100 000 draws: 0.0079 and 0.007
    expect(Math.abs(mean)).toBeLessThan(0.0079)
    expect(Math.abs(square - 0.25)).toBeLessThan(0.007)
    expect(Math.max(...error.map(Math.abs))).toBeLessThan(1.5)
  })

  test('channels have noise of their own', async () => {
    const folder = newFolder()
    const both = [new Float64Array(FRAMES).fill(0.1), new Float64Array(FRAMES).fill(0.1)]
    const groups = [group('g', [take(folder, 'a', both)])]
    const { plan } = await renderFor(groups, { folder: path.join(folder, 'out'), depth: 16 })
    const [left, right] = samplesOf(stemFile(plan, 'g_a')).map(samples =>
      samples.map((value, i) => (value - both[0]![i]!) * 32768),
    )
    const product = left!.reduce((sum, x, i) => sum + x * right![i]!, 0) / FRAMES
    // of two independent errors of variance 1/4 the mean product has a standard deviation of 0.25 / sqrt(N) = 0.00079
    expect(Math.abs(product)).toBeLessThan(5 * 0.00079)
  })

  test('where nothing is owed the values are those of the source', async () => {
    const folder = newFolder()
    const { plan } = await renderFor(fractional(folder), { folder: path.join(folder, 'out') })
    expect(plan.stems.map(stem => [stem.name, stem.dither])).toEqual([
      ['mix', true],
      ['g_ref', false],
      ['g_late', true],
      ['g_pair', true],
    ])
    expectSame(
      samplesOf(stemFile(plan, 'g_ref'))[0]!.subarray(0, FRAMES),
      samplesOf(path.join(folder, 'ref.wav'))[0]!,
    )
  })
})

describe('the same bytes', () => {
  test('twice, in another folder, and from a plan that was printed and read back', async () => {
    const folder = newFolder()
    const groups = fractional(folder)
    const first = await renderFor(groups, { folder: path.join(folder, 'a') })
    const second = await renderFor(groups, { folder: path.join(folder, 'b') })
    const files = contentsOf(path.join(folder, 'a'))
    expect(Object.keys(files)).toHaveLength(4)
    expect(contentsOf(path.join(folder, 'b'))).toEqual(files)
    expect(second.rendered.map(stem => stem.sha256)).toEqual(first.rendered.map(stem => stem.sha256))
    for (const stem of first.plan.stems) fs.rmSync(stem.file)
    await renderPlan(JSON.parse(JSON.stringify(first.plan)) as Plan, tasks)
    expect(contentsOf(path.join(folder, 'a'))).toEqual(files)
    expect(first.rendered.map(stem => stem.sha256)).toEqual(
      first.plan.stems.map(stem => files[stem.fileName]),
    )
  })

  test('whatever the stretches that a stem is made in', async () => {
    const folder = newFolder()
    const plan = await planFor(fractional(folder), { folder: path.join(folder, 'out') })
    let compared = 0
    for (const stem of plan.stems) {
      const whole = Array.from({ length: stem.channels }, () => new Float64Array(stem.frames))
      const { sources } = stemInput(plan, stem)
      const mix = openMix(stem, sources)
      mix.read(0, whole)
      for (const { start, end } of cuts(stem.name, stem.frames, 9000)) {
        const piece = Array.from({ length: stem.channels }, () => new Float64Array(end - start))
        mix.read(start, piece)
        for (const [channel, samples] of piece.entries())
          expectSame(samples, whole[channel]!.slice(start, end))
        compared++
      }
      mix.close()
    }
    expect(compared).toBeGreaterThan(50)
  })

  // Checksums of the audio of a short render: they differ where a machine or an engine computes another last bit.
  test('on every machine', async () => {
    const folder = newFolder()
    const { plan } = await renderFor(fractional(folder), { folder: path.join(folder, 'out') })
    const sums = plan.stems.map(stem =>
      createHash('sha256').update(audioBytes(stem.file)).digest('hex').slice(0, 16),
    )
    expect(sums).toMatchInlineSnapshot(`
      [
        "6f8d0659c745e931",
        "33c5f1ec5a0454c4",
        "164d5e2d732bd7fe",
        "8f7e663f5d5b93a7",
      ]
    `)
  })
})
