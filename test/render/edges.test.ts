import path from 'node:path'
import { describe, expect, test } from 'vitest'
import { blend, group, sourceOf } from '../decide/setting/song.js'
import { noise } from '../signal/signals.js'
import { newFolder, onGrid, renderFor, samplesOf, stemFile, take } from './setting/takes.js'

const FRAMES = 20000
const FADE = 240 // 5 ms at 48 kHz
const loud = (): Float64Array => noise('edges', FRAMES, 0.5)

const differing = (written: Float64Array, expected: (frame: number) => number): number[] => {
  const found: number[] = []
  for (let i = 0; i < written.length; i++) if (Math.abs(written[i]! - expected(i)) > 1e-12) found.push(i)
  return found
}

describe('a moved file that begins and ends above -60 dBFS', () => {
  test('is faded over 5 ms there, and is a copy everywhere else', async () => {
    const folder = newFolder()
    const samples = onGrid(loud(), 24)
    const groups = [
      group('g', [
        take(folder, 'ref', [samples]),
        take(folder, 'late', [samples], { measured: { lagSamples: -100 } }),
      ]),
    ]
    const { plan, rendered } = await renderFor(groups, { folder: path.join(folder, 'out') })
    const [written] = samplesOf(stemFile(plan, 'g_late'))
    expect(written!.length).toBe(FRAMES + 100)
    const changed = differing(written!, i => samples[i - 100] ?? 0)
    expect(changed.every(i => i < 100 + FADE || i >= FRAMES + 100 - FADE)).toBe(true)
    expect(changed.length).toBeGreaterThan(2 * FADE - 20)
    // in the middle of the fade the smooth step is a half
    expect(written![100 + FADE / 2]).toBeCloseTo(samples[FADE / 2]! / 2, 6)
    expect(Math.abs(written![100]!)).toBeLessThan(2 ** -22)
    expect(Math.abs(written![FRAMES + 99]!)).toBeLessThan(2 ** -22)
    expect(rendered.map(stem => stem.fades)).toEqual([
      [],
      [
        { key: 'g/late', edge: 'start' },
        { key: 'g/late', edge: 'end' },
      ],
    ])
  })

  test('also where it moves by a fraction, and where its head is cut off', async () => {
    const folder = newFolder()
    const groups = [
      group('g', [
        take(folder, 'ref', [loud()]),
        take(folder, 'late', [loud()], { measured: { lagSamples: 100.5 } }),
      ]),
    ]
    const { plan, rendered } = await renderFor(groups, { folder: path.join(folder, 'out') })
    const [written] = samplesOf(stemFile(plan, 'g_late'))
    expect(written!.length).toBe(FRAMES)
    const peak = (from: number, to: number): number => Math.max(...written!.subarray(from, to).map(Math.abs))
    expect(peak(0, 4)).toBeLessThan(0.001) // 3 u^2 at 4 of 240 frames
    expect(peak(FADE, 2 * FADE)).toBeGreaterThan(0.3)
    expect(peak(FRAMES - 105, FRAMES - 60)).toBeLessThan(0.001)
    expect(rendered[1]?.fades).toHaveLength(2)
    expect(sourceOf(plan, 'g/late').headCut?.frames).toBe(101)
    expect(plan.warnings.map(({ code }) => code)).toEqual(['HEAD_CUT'])
    // the peak of what is cut, in the recording
    const head = Math.max(...onGrid(loud(), 24).subarray(0, 101).map(Math.abs))
    expect(sourceOf(plan, 'g/late').headCut?.peakDbfs).toBeCloseTo(20 * Math.log10(head), 9)
    expect(rendered[1]?.cuts).toEqual([{ key: 'g/late', ...sourceOf(plan, 'g/late').headCut }])
  })

  test('the fade is dithered where it works, in a stem that is exact otherwise', async () => {
    const folder = newFolder()
    const steady = new Float64Array(FRAMES).fill(0.25)
    const groups = [
      group('g', [
        take(folder, 'ref', [steady]),
        take(folder, 'late', [steady], { measured: { lagSamples: -100 } }),
      ]),
    ]
    const { plan } = await renderFor(groups, { folder: path.join(folder, 'out') })
    expect(plan.stems[1]?.dither).toBe(false)
    const [written] = samplesOf(stemFile(plan, 'g_late'))
    const errors = Array.from({ length: FADE }, (_, i) => {
      const u = i / FADE
      return (written![100 + i]! - 0.25 * u * u * (3 - 2 * u)) * 2 ** 23
    })
    // TPDF on the grid: mean square 1/4, 5 sigma of 240 draws is 0.145; plain rounding would give 1/12
    const square = errors.reduce((sum, x) => sum + x * x, 0) / FADE
    expect(Math.abs(square - 0.25)).toBeLessThan(0.145)
    expect(square).toBeGreaterThan(0.105)
    expect(differing(written!.subarray(100 + FADE, FRAMES + 100 - FADE), () => 0.25)).toEqual([])
  })
})

describe('no fade', () => {
  test('where a file is not moved, or is quiet at its edges, or a blend is as recorded', async () => {
    const folder = newFolder()
    const quiet = loud()
    const edge = 0.00099 // -60.09 dBFS
    for (let i = 0; i < 300; i++) {
      quiet[i] = edge
      quiet[FRAMES - 1 - i] = -edge
    }
    const groups = [
      group(
        'g',
        [take(folder, 'ref', [loud()]), take(folder, 'late', [quiet], { measured: { lagSamples: -100 } })],
        {
          blends: [blend('raw', { ref: 50, late: 50 }, { aligned: false })],
        },
      ),
    ]
    const { plan, rendered } = await renderFor(groups, { folder: path.join(folder, 'out') })
    expect(rendered.map(stem => stem.name)).toEqual(['raw', 'g_ref', 'g_late'])
    expect(rendered.flatMap(stem => stem.fades)).toEqual([])
    const [written] = samplesOf(stemFile(plan, 'g_late'))
    const rounded = onGrid(quiet, 24)
    expect(differing(written!, i => rounded[i - 100] ?? 0)).toEqual([])
  })

  test('a file of a single frame, and an empty one, are no trouble', async () => {
    const folder = newFolder()
    const groups = [
      group('g', [
        take(folder, 'ref', [loud()]),
        take(folder, 'one', [Float64Array.of(0.5)], { measured: { lagSamples: -3.5 } }),
        take(folder, 'none', [new Float64Array(0)], { measured: { lagSamples: 5.25 } }),
      ]),
    ]
    const { plan } = await renderFor(groups, { folder: path.join(folder, 'out') })
    for (const name of ['g_one', 'g_none']) {
      const [written] = samplesOf(stemFile(plan, name))
      expect(written!.length).toBe(FRAMES)
      expect(Math.max(...written!.map(Math.abs))).toBeLessThan(0.5)
    }
  })

  test('sound that a whole move pushes out altogether leaves silence', async () => {
    const folder = newFolder()
    const groups = [
      group('g', [
        take(folder, 'ref', [loud()]),
        take(folder, 'late', [loud()], { measured: { lagSamples: 30000 } }),
      ]),
    ]
    const { plan } = await renderFor(groups, { folder: path.join(folder, 'out') })
    expect(Math.max(...samplesOf(stemFile(plan, 'g_late'))[0]!.map(Math.abs))).toBe(0)
    expect(sourceOf(plan, 'g/late').headCut?.frames).toBe(FRAMES)
  })
})
