import { beforeAll, describe, expect, test } from 'vitest'
import { measureSession } from '../../src/measure/measure-session.js'
import type { SongMeasurement, SourceMeasurement } from '../../src/measure/measurement.js'
import { relateFiles } from '../../src/measure/relatives/related-files.js'
import { measureTasks } from '../../src/measure/tasks.js'
import type { FileSource, Session, SessionGroup } from '../../src/recipe/session.js'
import type { Recall } from '../../src/terms/recall.js'
import { inProcess } from '../../src/terms/task.js'
import { whiteNoise } from '../corpus/random.js'
import { delayed } from '../corpus/spectrum.js'
import * as fixture from './session-fixture.js'

/* Whole sessions at a low rate, which keeps them quick: white noise, a tenth of full scale, each path with noise of its own 20 dB under it. */

const RATE = 8000
const SECONDS = 8
const N = SECONDS * RATE
const tasks = inProcess(measureTasks)

const noise = (seed: string, frames = N): Float64Array => whiteNoise(frames, seed).map(v => 0.1 * v)
const sound = noise('sound')
const path = (moved: Float64Array, seed: string): Float64Array => {
  const own = noise(seed, moved.length)
  return moved.map((v, n) => v + 0.1 * own[n]!)
}
const file = (
  name: string,
  planar: readonly Float64Array[],
  more: Parameters<typeof fixture.fileSource>[2] = {},
): FileSource => fixture.fileSource(name, planar, { sampleRateHz: RATE, ...more })
const group = (
  reference: string,
  sources: readonly FileSource[],
  align: Partial<SessionGroup['align']> = {},
): SessionGroup => fixture.group('g', reference, sources, align, RATE)

const measured = (groups: readonly SessionGroup[], recall?: Recall): Promise<SongMeasurement> =>
  measureSession(fixture.session(groups), tasks, recall)
const named = (song: SongMeasurement, name: string): SourceMeasurement =>
  song.groups.flatMap(({ sources }) => sources).find(source => source.name === name)!

describe('a source that was recorded in pieces', () => {
  let song: SongMeasurement
  beforeAll(async () => {
    const laid = (name: string, from: number, to: number, lag: number, sign: 1 | -1): FileSource =>
      file(name, [
        path(delayed(sound, lag), name)
          .map(v => sign * v)
          .slice(from * RATE, to * RATE),
      ])
    const parts = [laid('one', 0, 3, 31.3, 1), laid('two', 3, 8, 43.8, -1)]
    const pieces = parts.map(({ file: at, facts }, i) => ({
      file: at,
      fileFrames: facts.frames,
      fromFrame: 0,
      toFrame: facts.frames,
      atFrame: [0, 3 * RATE][i]!,
    }))
    const bridge = file('bridge', [sound], {
      selection: { kind: 'all', laid: { pieces, fadeFrames: 80 } },
      pieces: parts.map(({ file: at, fileShown, facts }) => ({ file: at, fileShown, facts })),
    })
    song = await measured([group('piezo', [file('piezo', [path(sound, 'piezo')]), bridge])])
  })

  test('each has its own lag and polarity, where it is heard', () => {
    const { pieces } = named(song, 'bridge')
    expect(pieces).toHaveLength(2)
    const [one, two] = pieces!
    expect(one).toMatchObject({
      piece: 1,
      referencePiece: null,
      file: 'audio/one.wav',
      stretches: [{ startFrame: 0, endFrame: 3 * RATE }],
      polarity: 'normal',
      verdict: 'sure',
      likePiece: null,
    })
    expect(two).toMatchObject({
      piece: 2,
      file: 'audio/two.wav',
      stretches: [{ startFrame: 3 * RATE, endFrame: 8 * RATE }],
      polarity: 'inverted',
      verdict: 'sure',
    })
    // Coherence (1 / 1.01)²: the bound for three seconds is 5e-4 frames.
    expect(Math.abs(one!.lagSamples! - 31.3)).toBeLessThan(0.003)
    expect(Math.abs(two!.lagSamples! - 43.8)).toBeLessThan(0.003)
  })

  test('the whole is told by the piece that is heard longest, and its lag over time by all of them', () => {
    const bridge = named(song, 'bridge')
    expect(bridge.lagSamples).toBe(bridge.pieces![1]!.lagSamples)
    expect(bridge).toMatchObject({
      polarity: 'inverted',
      verdict: 'sure',
      reason: null,
      drift: null,
      steps: [],
    })
    const blocks = bridge.lagOverTime!
    // The first piece is too short for a curve of its own.
    expect(blocks.length).toBeGreaterThanOrEqual(4)
    const times = blocks.map(({ atSeconds }) => atSeconds)
    expect(times).toEqual([...times].sort((a, b) => a - b))
    for (const { atSeconds, lagSamples } of blocks)
      expect(Math.abs(lagSamples - (atSeconds < 3 ? 31.3 : 43.8))).toBeLessThan(0.05)
    expect(named(song, 'piezo')).not.toHaveProperty('pieces')
  })

  test('what moved in between is told', () => {
    expect(song.warnings.map(({ code, source, message }) => [code, source, message])).toEqual([
      [
        'PIECE_MOVED',
        'bridge',
        // 12.5 frames are 1.5625 ms, 53.6 cm at 343.21 m/s.
        'Piece 2 (audio/two.wav, at 0:03) arrives 1.56 ms later (53.6 cm of air) than piece 1: something was moved or patched anew in between, and the other way round. Each piece is lined up by its own lag; nothing is to be done.',
      ],
    ])
  })
})

describe('time stamps', () => {
  const cut = path(delayed(sound, 31.3), 'cut').slice(480)
  const start = 3600 * RATE

  test('are taken off where the sound agrees, left out where it does not', async () => {
    const song = await measured([
      group('a', [
        file('a', [path(sound, 'a')], { stampSamples: start }),
        file('b', [cut], { stampSamples: start + 480 }),
        file('c', [path(delayed(sound, 12), 'c')], { stampSamples: start + 3 * RATE }),
      ]),
    ])
    expect(named(song, 'b')).toMatchObject({ startOffsetSamples: 480, verdict: 'sure' })
    expect(Math.abs(named(song, 'b').lagSamples! - 31.3)).toBeLessThan(0.01)
    expect(named(song, 'b').lagMs).toBeCloseTo(31.3 / 8, 2)
    expect(named(song, 'c')).toMatchObject({ startOffsetSamples: 0, verdict: 'sure' })
    expect(Math.abs(named(song, 'c').lagSamples! - 12)).toBeLessThan(0.01)
    expect(song.warnings.map(({ code, source }) => [source, code])).toEqual([
      ['b', 'START_DIFFERS'],
      ['c', 'STAMP_CONTRADICTED'],
    ])
  })
})

describe('a stereo pair above two drums', () => {
  const [left, right] = [noise('left drum'), noise('right drum')]
  const both = (l: number, r: number, seed: string): Float64Array =>
    path(
      left.map((v, n) => l * v + r * right[n]!),
      seed,
    )
  const told = async (swapped: boolean): Promise<string[]> => {
    const sides = [both(0.8, 0.3, 'over 1'), both(0.3, 0.8, 'over 2')]
    const song = await measured([
      group('over', [
        file('over', swapped ? [sides[1]!, sides[0]!] : sides),
        file('tom-left', [path(left, 'l')]),
        file('tom-right', [path(right, 'r')]),
      ]),
    ])
    return song.warnings.filter(({ code }) => code === 'CHANNELS_SWAPPED').map(({ message }) => message)
  }

  test('is told where it hears both on the wrong side, and only there', async () => {
    expect(await told(false)).toEqual([])
    expect(await told(true)).toEqual([
      "Left and right seem to be swapped: it hears tom-left on its right and tom-right on its left. Check the patch and the order of its channels, or whether the names are from the player's side and not the listener's. Nothing was changed.",
    ])
  })
})

describe('recordings of which nothing is known', () => {
  test('are related where they share sound: how late, which way round, how much', async () => {
    const files = [
      file('first', [sound]),
      file('second', [path(delayed(sound, 31), 'second').map(v => -v)]),
      file('third', [noise('third'), sound]),
    ].map(({ file: at, facts }) => ({
      file: at,
      channels: facts.channels,
      frames: facts.frames,
      startFrame: 0,
    }))
    const options = { sampleRateHz: RATE, searchSeconds: 0.04, passage: null }
    const relations = await relateFiles(files, options, tasks)
    expect(relations.map(({ first, second, related }) => [first, second, related])).toEqual([
      [0, 1, true],
      [0, 2, false],
      [1, 2, false],
    ])
    const [found, other] = relations
    expect(found!.polarity).toBe('inverted')
    expect(Math.abs(found!.lagSamples! - 31)).toBeLessThan(0.1)
    expect(Math.abs(found!.coherence! - 1 / 1.01)).toBeLessThan(0.02)
    expect(Math.abs(found!.commonEnergy! - 1 / 1.01)).toBeLessThan(0.03)
    expect(other).toEqual({
      ...{ first: 0, second: 2, related: false, commonEnergy: null },
      ...{ coherence: null, lagSamples: null, polarity: null },
    })
    const passage = { startSeconds: 1, endSeconds: 4 }
    expect(await relateFiles(files, { ...options, passage, pairs: [[1, 0]] }, tasks)).toMatchObject([
      {
        first: 1,
        second: 0,
        related: true,
        polarity: 'inverted',
        lagSamples: expect.closeTo(-31, 0) as number,
      },
    ])
    expect(await relateFiles(files, { ...options, pairs: [] }, tasks)).toEqual([])
  })
})

test('a lag that is left as recorded is told as a position of its own, and only then', async () => {
  const [a, b] = [0, 5].map(lag =>
    file(`late ${lag}`, [path(delayed(sound, lag), `p ${lag}`).slice(0, 2 * RATE)]),
  )
  const kept = async (more: Partial<FileSource>): Promise<number> => {
    const song = await measured([group(a!.name, [a!, { ...b!, ...more }])])
    return named(song, b!.name).candidates.filter(
      ({ aim, lagSamples }) => aim === 'fullness' && lagSamples === 0,
    ).length
  }
  expect(await kept({ lag: 'as-recorded' })).toBe(1)
  expect(await kept({})).toBe(0)
  expect(await kept({ lag: 'as-recorded', polarity: 'inverted' })).toBe(0)
})

describe('what a group is remembered by', () => {
  const a = file('a', [path(sound, 'a').slice(0, 2 * RATE)])
  const b = file('b', [path(delayed(sound, 5), 'b').slice(0, 2 * RATE)])
  const askedOf = async (groups: readonly SessionGroup[], more: Partial<Session> = {}): Promise<string> => {
    let asked = ''
    const recall: Recall = async (what, input, make) => {
      expect(what).toBe('measure group')
      asked = JSON.stringify(input)
      return make()
    }
    await measureSession({ ...fixture.session(groups), ...more }, tasks, recall)
    return asked
  }

  test('is what its measuring goes by, not how things are called or moved afterwards', async () => {
    const own = await askedOf([group('a', [a, b])])
    expect(
      await askedOf([group('a', [a, { ...b, nudgeSamples: 9, fileShown: 'else.wav' }], { hold: 'latest' })]),
    ).toBe(own)
    for (const other of [
      await askedOf([group('a', [a, b], { searchSeconds: 0.05 })]),
      await askedOf([group('a', [a, b], { passage: [{ startSeconds: 0, endSeconds: 1.5 }] })]),
      await askedOf([group('b', [a, b])]),
      await askedOf([group('a', [a, { ...b, lag: 'as-recorded' }])]),
      await askedOf([group('a', [a, b])], { temperatureCelsius: 21 }),
    ])
      expect(other).not.toBe(own)
  })

  test('what is remembered bears the names of now', async () => {
    let kept: unknown = null
    const keep: Recall = async (_what, _input, make) => {
      const made = await make()
      kept = made
      return made
    }
    await measured([group('a', [a, b])], keep)
    const renamed = [group('a', [{ ...a, fileShown: 'new.wav' }, b])]
    const song = await measured(renamed, () => Promise.resolve(kept as never))
    expect(song.groups[0]!.sources.map(({ file: shown }) => shown)).toEqual(['new.wav', 'audio/b.wav'])
    expect(named(song, 'b').lagSamples).toBeCloseTo(5, 1)
  })
})
