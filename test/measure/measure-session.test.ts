import { readFileSync } from 'node:fs'
import { Ajv2020 } from 'ajv/dist/2020.js'
import { beforeAll, describe, expect, test } from 'vitest'
import { measureSession } from '../../src/measure/measure-session.js'
import type { SongMeasurement, SourceMeasurement } from '../../src/measure/measurement.js'
import { measureTasks } from '../../src/measure/tasks.js'
import { inProcess } from '../../src/terms/task.js'
import { whiteNoise } from '../corpus/random.js'
import { bell, multiply, rollOff } from '../corpus/responses.js'
import { delayed, through } from '../corpus/spectrum.js'
import { fileSource, group, FIXTURE_RATE_HZ as RATE, session } from './session-fixture.js'

const SECONDS = 4
const noise = (seed: string): Float64Array => whiteNoise(SECONDS * RATE, seed).map(v => 0.05 * v)
const plus = (a: Float64Array, b: Float64Array, factor: number): Float64Array =>
  a.map((v, i) => v + factor * b[i]!)

/** Played in strokes, so that there are gaps. */
const played = (seed: string): Float64Array => {
  const strokes = noise(seed).map((v, n) => 4 * v * Math.exp(-(n % 17000) / 3000))
  return through(strokes, RATE, 4800, multiply(bell(900, 8, 1), rollOff(6000)))
}
const music = played('music')

const measure = async (groups: Parameters<typeof session>[0]): Promise<SongMeasurement> =>
  measureSession(session(groups), inProcess(measureTasks))
const sourceOf = (song: SongMeasurement, name: string): SourceMeasurement =>
  song.groups.flatMap(g => g.sources).find(s => s.name === name)!

describe('a group of files', () => {
  let song: SongMeasurement
  beforeAll(async () => {
    const late = plus(delayed(music, 95.31), noise('n1'), 0.02)
    const inverted = plus(
      delayed(music, 364.2).map(v => -0.5 * v),
      noise('n2'),
      0.02,
    )
    const left = plus(delayed(music, 200), noise('n3'), 0.02)
    const right = plus(delayed(music, 210), noise('n4'), 0.02)
    song = await measure([
      group('instrument', 'direct', [
        fileSource('direct', [plus(music, noise('n0'), 0.02)], { via: 'direct' }),
        fileSource('close', [late], { distanceMetres: 0.25, via: 'mic' }),
        fileSource('room', [inverted], { lag: { samples: 300 } }),
        fileSource('pair', [left, right]),
        fileSource('dead', [new Float64Array(music.length)]),
        fileSource('other', [played('another song')]),
      ]),
    ])
  })

  test('finds lag and polarity of every path, positive = late', () => {
    const close = sourceOf(song, 'close')
    expect(close.lagSamples).toBeCloseTo(95.31, 1)
    expect(close).toMatchObject({ polarity: 'normal', verdict: 'sure', reason: null })
    const room = sourceOf(song, 'room')
    expect(room.lagSamples).toBeCloseTo(364.2, 1)
    expect(room).toMatchObject({ polarity: 'inverted', verdict: 'sure' })
    expect(close.lagMs).toBeCloseTo(95.31 / 48, 3)
    expect(close.distanceMetres).toBeCloseTo((95.31 / 48000) * 343.2146, 3)
  })

  test('gives a linked pair one lag: the mean of its channels, with half their distance in the spread', () => {
    const pair = sourceOf(song, 'pair')
    expect(pair.lagSamples).toBeCloseTo(205, 1)
    expect(pair.arrivalSpreadSamples).toBeGreaterThan(4.9)
    expect(pair).toMatchObject({ channels: 2, verdict: 'sure' })
  })

  test('says unknown, with a reason and without numbers, for a dead channel and for another song', () => {
    for (const name of ['dead', 'other']) {
      const source = sourceOf(song, name)
      expect(source).toMatchObject({ verdict: 'unknown', lagSamples: null, polarity: null, candidates: [] })
      expect(source.reason).toMatch(/check/)
    }
  })

  test('the reference has lag 0 and can serve', () => {
    expect(sourceOf(song, 'direct')).toMatchObject({ lagSamples: 0, verdict: 'sure', polarity: 'normal' })
  })

  test('tells a stated lag and a distance that the sound contradicts', () => {
    const told = song.warnings.map(w => `${w.source} ${w.code}`)
    expect(told).toContain('room STATED_DIFFERS')
    expect(told).toContain('close DISTANCE_DIFFERS')
    expect(told).toContain('dead SILENT')
  })

  test('the pairs of the group close', () => {
    expect(song.groups[0]!.closureSamples).not.toBeNull()
    expect(song.groups[0]!.closureSamples!).toBeLessThan(0.2)
  })

  test('is what the schema says, as JSON', () => {
    const { warnings, ...told } = song
    const document = {
      format: 1,
      tool: { name: 'sumwell', version: '0' },
      songs: [told],
      warnings: warnings.map(warning => ({ ...warning, recipe: song.recipe })),
      faults: [],
    }
    const schema = JSON.parse(readFileSync('schemas/measure.schema.json', 'utf8')) as object
    const validate = new Ajv2020({ allErrors: true, strict: true, allowUnionTypes: true }).compile(schema)
    const valid = validate(JSON.parse(JSON.stringify(document)))
    expect(validate.errors).toBeNull()
    expect(valid).toBe(true)
    expect(JSON.stringify(document)).not.toMatch(/NaN|Infinity/)
  })
})

describe('time stamps', () => {
  // The file begins 480 frames later: the same instant stands earlier in it.
  const cut = delayed(music, 95.31).slice(480)
  const start = 13 * 3600 * RATE

  test('a later start is taken off and told', async () => {
    const song = await measure([
      group('g', 'a', [
        fileSource('a', [music], { stampSamples: start }),
        fileSource('b', [cut], { stampSamples: start + 480 }),
      ]),
    ])
    expect(sourceOf(song, 'b')).toMatchObject({ startOffsetSamples: 480, verdict: 'sure' })
    expect(sourceOf(song, 'b').lagSamples).toBeCloseTo(95.31, 1)
    expect(song.warnings.map(w => w.code)).toContain('START_DIFFERS')
  })

  test('a stamp that the sound contradicts is left out and told', async () => {
    const song = await measure([
      group('g', 'a', [
        fileSource('a', [music], { stampSamples: start }),
        fileSource('b', [delayed(music, 95.31)], { stampSamples: start + 24000 }),
      ]),
    ])
    expect(sourceOf(song, 'b')).toMatchObject({ startOffsetSamples: 0, verdict: 'sure' })
    expect(sourceOf(song, 'b').lagSamples).toBeCloseTo(95.31, 1)
    expect(song.warnings.map(w => w.code)).toContain('STAMP_CONTRADICTED')
  })
})

describe('search and passage', () => {
  test('a re-amped pass is found with a search of a second', async () => {
    const song = await measure([
      group(
        'g',
        'a',
        [fileSource('a', [music]), fileSource('b', [delayed(music, 30000.4)], { via: 'reamp' })],
        { searchSeconds: 1 },
      ),
    ])
    expect(sourceOf(song, 'b').lagSamples).toBeCloseTo(30000.4, 1)
    expect(sourceOf(song, 'b').verdict).toBe('sure')
    // Late by converters and buffers: no length of air.
    expect(sourceOf(song, 'b').distanceMetres).toBeNull()
  })

  test('beyond the search nothing is sure', async () => {
    const song = await measure([
      group('g', 'a', [fileSource('a', [music]), fileSource('b', [delayed(music, 3000)])]),
    ])
    expect(sourceOf(song, 'b').verdict).not.toBe('sure')
  })

  test('a passage alone is measured', async () => {
    const moved = delayed(music, 40)
    const later = delayed(music, 90)
    const edited = moved.map((v, n) => (n < 2 * RATE ? v : later[n]!))
    const passage = async (startSeconds: number, endSeconds: number): Promise<number> => {
      const song = await measure([
        group('g', 'a', [fileSource('a', [music]), fileSource('b', [edited])], {
          passage: [{ startSeconds, endSeconds }],
        }),
      ])
      return sourceOf(song, 'b').lagSamples!
    }
    expect(await passage(0.2, 1.8)).toBeCloseTo(40, 1)
    expect(await passage(2.2, 3.8)).toBeCloseTo(90, 1)
  })
})

test('a group as a source is measured by its reference file', async () => {
  const inner = group('kick', 'inside', [
    fileSource('inside', [music]),
    fileSource('outside', [delayed(music, 60)]),
  ])
  const outer = group('kit', 'over', [
    fileSource('over', [delayed(music, 120)]),
    {
      kind: 'group',
      name: 'kick',
      group: 'kick',
      polarity: 'measured',
      lag: 'measured',
      nudgeSamples: 0,
      distanceMetres: null,
    },
  ])
  const song = await measure([inner, outer])
  const entry = song.groups[1]!.sources[1]!
  expect(entry).toMatchObject({ file: null, fromGroup: 'kick', verdict: 'sure' })
  expect(entry.lagSamples).toBeCloseTo(-120, 1)
})

test('a silent reference is unknown, and so is all that is measured against it', async () => {
  const song = await measure([
    group('g', 'a', [fileSource('a', [new Float64Array(music.length)]), fileSource('b', [music])]),
  ])
  expect(sourceOf(song, 'a').verdict).toBe('unknown')
  expect(sourceOf(song, 'b').verdict).toBe('unknown')
})

test('most others inverted: the reference is the one to look at', async () => {
  const song = await measure([
    group('g', 'a', [
      fileSource('a', [music.map(v => -v)]),
      fileSource('b', [delayed(music, 20)]),
      fileSource('c', [delayed(music, 50)]),
    ]),
  ])
  expect(song.warnings.map(w => w.code)).toContain('REFERENCE_POLARITY')
})

describe('a lag that the recipe leaves as recorded', () => {
  // Half an octave about 500 Hz, whose period is 96 frames: half a period late sums fuller turned over.
  const band = through(music, RATE, 4800, hz => [hz > 420 && hz < 580 ? 1 : 0, 0])
  test.each([
    [46, 'inverted'],
    [95, 'normal'],
  ] as const)('%i frames late: which polarity sums fuller there is told', async (frames, polarity) => {
    const late = delayed(band, frames)
    const song = await measure([
      group('g', 'a', [fileSource('a', [band]), fileSource('b', [late], { lag: 'as-recorded' })]),
    ])
    const kept = sourceOf(song, 'b').candidates.filter(c => c.aim === 'fullness' && c.lagSamples === 0)
    expect(kept.map(c => c.polarity)).toEqual([polarity])
    const energy = (sign: number): number =>
      band.reduce((sum, v, n) => sum + (v + sign * late[n]!) * (v + sign * late[n]!), 0)
    expect(energy(1) > energy(-1)).toBe(polarity === 'normal')
    const scores = sourceOf(song, 'b').candidates.flatMap(c => (c.aim === 'fullness' ? [c.score] : []))
    expect(scores).toEqual([...scores].sort((x, y) => y - x))
  })
})

test('a track of nothing but hiss takes nothing from the others of its group', async () => {
  const song = await measure([
    group('g', 'a', [
      fileSource('a', [music]),
      fileSource('hiss', [whiteNoise(music.length, 'hiss').map(v => 0.1 * v)]),
      fileSource('b', [delayed(music, 50.5)]),
    ]),
  ])
  expect(sourceOf(song, 'hiss')).toMatchObject({ verdict: 'unknown', lagSamples: null })
  expect(sourceOf(song, 'b')).toMatchObject({ verdict: 'sure', reason: null })
  expect(sourceOf(song, 'b').lagSamples).toBeCloseTo(50.5, 2)
  expect(sourceOf(song, 'b').lagUncertaintySamples).toBeLessThan(1)
})
