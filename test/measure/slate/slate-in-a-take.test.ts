import { describe, expect, test } from 'vitest'
import { measureSession } from '../../../src/measure/measure-session.js'
import type { SourceMeasurement } from '../../../src/measure/measurement.js'
import { findSlates } from '../../../src/measure/slate/find-slates.js'
import { arraySource } from '../../../src/measure/spectra/frame-source.js'
import { measureTasks } from '../../../src/measure/tasks.js'
import type { SlateRecording } from '../../../src/recipe/session.js'
import { slateSignal } from '../../../src/signal/slate.js'
import { inProcess } from '../../../src/terms/task.js'
import type { Warning } from '../../../src/terms/warning.js'
import { whiteNoise } from '../../corpus/random.js'
import { air, gain, multiply, type Response, rollOff, ventedBox } from '../../corpus/responses.js'
import { through } from '../../corpus/spectrum.js'
import { fileSource, group, FIXTURE_RATE_HZ as RATE, session } from '../session-fixture.js'

const slate = slateSignal(RATE)
const SLATE_FRAMES = slate.length
const TAKE_FRAMES = SLATE_FRAMES + 4 * RATE
const take = new Float64Array(TAKE_FRAMES)
take.set(slate)

/** Held notes: a period fits as well as its neighbour, so that the playing alone is never sure. */
const held = Float64Array.from({ length: TAKE_FRAMES }, (_, n) =>
  n < SLATE_FRAMES
    ? 0
    : 0.2 * Math.sin((2 * Math.PI * 110 * n) / RATE) + 0.05 * Math.sin((2 * Math.PI * 220 * n) / RATE),
)
const withNoise = (signal: Float64Array, seed: string): Float64Array => {
  const noise = whiteNoise(signal.length, seed)
  return signal.map((v, n) => v + 0.0005 * noise[n]!)
}
const path = (played: Float64Array, response: Response, seed: string): Float64Array =>
  withNoise(through(played, RATE, 24000, response), seed)
const played = held.map((v, n) => v + take[n]!)
const cabinet = multiply(ventedBox(80), rollOff(6000), gain(-0.5), air(0.0021))

const measured = async (
  sources: Parameters<typeof group>[2],
  align: Parameters<typeof group>[3] = { slate: true },
): Promise<{ source: SourceMeasurement; warnings: readonly Warning[] }> => {
  const song = await measureSession(session([group('g', 'direct', sources, align)]), inProcess(measureTasks))
  return {
    source: song.groups[0]!.sources[1]!,
    warnings: song.warnings.filter(w => w.code.startsWith('SLATE')),
  }
}

describe('a take with a slate at its head', () => {
  test('what the playing leaves unsure is settled, with the path of its own', async () => {
    const direct = path(played, gain(1), 'd')
    const cab = path(played, cabinet, 'c')
    const without = await measured(
      [fileSource('direct', [direct.slice(SLATE_FRAMES)]), fileSource('cab', [cab.slice(SLATE_FRAMES)])],
      {},
    )
    expect(without.source.verdict).not.toBe('sure')
    expect(without.source.slate).toBeNull()
    const { source, warnings } = await measured([fileSource('direct', [direct]), fileSource('cab', [cab])])
    expect(warnings).toEqual([])
    expect(source).toMatchObject({ verdict: 'sure', polarity: 'inverted', reason: null })
    expect(Math.abs(source.lagSamples! - 0.0021 * RATE)).toBeLessThan(3)
    expect(source.slate).toMatchObject({ polarity: 'inverted', used: true })
    // Group delay of a 4th-order high-pass at 80 Hz, frames: 71 at 160 Hz, 16 at 320, 3.9 at 640 (computed); falls with frequency.
    const delay = new Map(source.slate!.groupDelay.map(d => [d.middleHz, d.excessSamples]))
    expect(delay.get(250)!).toBeGreaterThan(12)
    expect(delay.get(250)!).toBeLessThan(60)
    expect(Math.abs(delay.get(4000)!)).toBeLessThan(3)
  })

  test('one that is not heard is told, and changes nothing', async () => {
    const { source, warnings } = await measured([
      fileSource('direct', [path(played, gain(1), 'd2')]),
      fileSource('cab', [path(held, cabinet, 'c2')]),
    ])
    expect(warnings.map(w => [w.code, w.source])).toEqual([['SLATE_NOT_FOUND', 'cab']])
    expect(warnings[0]!.message).toMatch(/No slate is heard on this source/)
    expect(source.slate).toBeNull()
    expect(source.verdict).not.toBe('sure')
  })

  test('played at another time through each path it is not one playing', async () => {
    const later = new Float64Array(TAKE_FRAMES)
    later.set(played.subarray(0, TAKE_FRAMES - RATE), RATE)
    const { source, warnings } = await measured([
      fileSource('direct', [path(played, gain(1), 'd3')]),
      fileSource('cab', [path(later, cabinet, 'c3')]),
    ])
    expect(warnings.map(w => w.message)).toEqual([expect.stringMatching(/further apart than the search/)])
    expect(source.verdict).not.toBe('sure')
  })
})

describe('a slate against what is sure', () => {
  // Strokes of noise: sure by themselves.
  const strokes = Float64Array.from(whiteNoise(TAKE_FRAMES, 'strokes'), (v, n) =>
    n < SLATE_FRAMES ? 0 : 0.2 * v * Math.exp(-(n % 17000) / 3000),
  )
  const both = async (slateLag: number) => {
    const direct = withNoise(
      strokes.map((v, n) => v + take[n]!),
      'd4',
    )
    const mic = through(take, RATE, 24000, air(slateLag / RATE)).map((v, n) => v + (strokes[n - 96] ?? 0))
    return measured([fileSource('direct', [direct]), fileSource('mic', [withNoise(mic, 'c4')])])
  }

  test('that agrees is reported and changes nothing', async () => {
    const { source, warnings } = await both(96)
    expect(warnings).toEqual([])
    expect(source.slate).toMatchObject({ used: false, polarity: 'normal' })
    expect(source.slate!.lagSamples).toBeCloseTo(96, 1)
    expect(source).toMatchObject({ verdict: 'sure', polarity: 'normal' })
    expect(source.lagSamples).toBeCloseTo(96, 1)
  })

  test('from another place is told; what was played counts, and the slate has no say in it', async () => {
    const { source, warnings } = await both(400)
    expect(warnings.map(w => [w.code, w.source])).toEqual([['SLATE_DIFFERS', 'mic']])
    expect(warnings[0]!.message).toMatch(
      /By the slate it is 8\.33 ms late and normal; by what was played 2\.00 ms/,
    )
    expect(source).toMatchObject({ verdict: 'sure', slate: { used: false } })
    expect(source.lagSamples).toBeCloseTo(96, 1)
  })
})

test('a file of its own for each path', async () => {
  const recordingOf = (signal: Float64Array, name: string): SlateRecording => {
    const { file, fileShown, selection, facts } = fileSource(name, [signal])
    return { file, fileShown, selection, facts }
  }
  const direct = path(slate, gain(1), 'd5')
  const cab = path(slate, cabinet, 'c5')
  const { source, warnings } = await measured(
    [
      fileSource('direct', [path(held.slice(SLATE_FRAMES), gain(1), 'd6')], {
        slate: recordingOf(direct, 'slate-direct'),
      }),
      fileSource('cab', [path(held.slice(SLATE_FRAMES), cabinet, 'c6')], {
        slate: recordingOf(cab, 'slate-cab'),
      }),
    ],
    {},
  )
  expect(warnings).toEqual([])
  expect(source).toMatchObject({ verdict: 'sure', polarity: 'inverted', slate: { used: true } })
  expect(Math.abs(source.lagSamples! - 0.0021 * RATE)).toBeLessThan(3)
})

describe('finding', () => {
  const places = (signal: Float64Array, rate = RATE) =>
    findSlates(arraySource([signal]), 0, signal.length, rate)

  test('no music, noise, tone or lone sweep is taken for a slate', () => {
    const seconds = 12
    const frames = seconds * RATE
    expect(places(whiteNoise(frames, 'n').map(v => 0.1 * v))).toEqual([])
    expect(
      places(Float64Array.from({ length: frames }, (_, n) => Math.sin((2 * Math.PI * 440 * n) / RATE))),
    ).toEqual([])
    expect(places(new Float64Array(frames))).toEqual([])
    // The first sweep alone, and the same sweep twice the same way up.
    const alone = take.slice(0, 4 * RATE)
    expect(places(alone)).toEqual([])
    expect(places(slate.map((v, n) => (n < 4.25 * RATE ? v : -v)))).toEqual([])
  })

  test('two slates in one file are both found, whatever the rate', () => {
    for (const rate of [44100, 96000]) {
      const own = slateSignal(rate)
      const twice = new Float64Array(2 * own.length + 2 * rate)
      twice.set(own, rate)
      twice.set(
        own.map(v => 0.2 * v),
        rate + own.length + 777,
      )
      const found = places(twice, rate)
        .map(p => p.frame)
        .sort((a, b) => a - b)
      expect(found).toHaveLength(2)
      for (const [i, start] of [rate, rate + own.length + 777].entries())
        expect(Math.abs(found[i]! - start - rate / 2)).toBeLessThan(0.002 * rate)
    }
  })
})
