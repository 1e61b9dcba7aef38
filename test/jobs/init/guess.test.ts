import { describe, expect, test } from 'vitest'
import { passageToCompare } from '../../../src/jobs/init/choose-passage.js'
import { guessGroups, guessReference, isTie } from '../../../src/jobs/init/guess-groups.js'
import { latestTake } from '../../../src/jobs/init/latest-take.js'
import { makeGuess } from '../../../src/jobs/init/make-guess.js'
import { nameHints } from '../../../src/jobs/init/names.js'
import { recipeText } from '../../../src/jobs/init/recipe-text.js'
import type { Relation } from '../../../src/measure/relatives/related-files.js'

const tie = (first: number, second: number, commonEnergy: number, lagSamples = 0): Relation => ({
  first,
  second,
  related: true,
  commonEnergy,
  coherence: commonEnergy,
  lagSamples,
  polarity: 'normal',
})
const none = (first: number, second: number): Relation => ({
  first,
  second,
  related: false,
  commonEnergy: null,
  coherence: null,
  lagSamples: null,
  polarity: null,
})
const FACTS = {
  sampleRateHz: 48_000,
  channels: 1,
  frames: 480_000,
  bitDepth: 24,
  sampleFormat: 'int',
  stampSamples: null,
} as const
const unnamed = (count: number) => Array.from({ length: count }, () => nameHints('AUDIO_001'))

describe('what a name says', () => {
  test.each([
    ['Bass-DI_03', ['bass', 'di'], 'direct', ['bass']],
    ['snareTop', ['snare', 'top'], null, ['snare']],
    ['kick in', ['kick', 'in'], null, ['kick']],
    ['02 Upright Piezo', ['upright', 'piezo'], 'pickup', ['upright']],
    ['guitar_reamp_take4', ['guitar', 'reamp'], 'reamp', ['guitar']],
    ['AUDIO_001', [], null, []],
    ['Track 7', [], null, []],
    ['OH-L', ['oh', 'l'], 'mic', []],
    ['гитара', ['гитара'], null, ['гитара']],
  ] as const)('%s', (name, words, via, instrument) => {
    expect(nameHints(name)).toEqual({ words, via, instrument })
  })
})

describe('groups', () => {
  test('what shares its sound hangs together; what shares nothing stands alone', () => {
    const relations = [
      tie(0, 1, 0.9),
      tie(1, 2, 0.3),
      none(0, 2),
      none(0, 3),
      none(1, 3),
      none(2, 3),
      tie(3, 4, 0.5),
    ]
    expect(guessGroups(unnamed(6), relations)).toEqual([
      [0, 1, 2],
      [3, 4],
    ])
  })

  test('bleed joins nothing where each has a closer relative', () => {
    const relations = [tie(0, 1, 0.9), tie(2, 3, 0.8), tie(0, 2, 0.1), tie(1, 3, 0.12)]
    expect(guessGroups(unnamed(4), relations)).toEqual([
      [0, 1],
      [2, 3],
    ])
  })

  test('names move the limit', () => {
    const faint = [tie(0, 1, 0.06)]
    expect(guessGroups([nameHints('bass-di'), nameHints('bass-room')], faint)).toEqual([[0, 1]])
    expect(guessGroups(unnamed(2), faint)).toEqual([])
    const strong = [tie(0, 1, 0.2)]
    expect(guessGroups([nameHints('kick'), nameHints('vocals')], strong)).toEqual([])
    expect(guessGroups(unnamed(2), strong)).toEqual([[0, 1]])
    expect(guessGroups([nameHints('bass-di'), nameHints('bass-mic')], [none(0, 1)])).toEqual([])
  })

  test('the reference: by its name, else whoever arrives first, never a re-amped pass', () => {
    const ties = [tie(0, 1, 0.9, -90), tie(0, 2, 0.9, 300), tie(1, 2, 0.9, 390)].filter(isTie)
    expect(guessReference([0, 1, 2], unnamed(3), ties)).toEqual({ reference: 1, because: 'arrives first' })
    const named = [nameHints('mic'), nameHints('x'), nameHints('di')]
    expect(guessReference([0, 1, 2], named, ties)).toEqual({ reference: 2, because: 'name' })
    const reamped = [nameHints('a'), nameHints('reamp'), nameHints('b')]
    expect(guessReference([0, 1, 2], reamped, ties)).toEqual({ reference: 0, because: 'arrives first' })
  })
})

test('of several takes the latest is looked at, written as {take}', () => {
  const files = ['take-3/bass.wav', 'take-10/bass.wav', 'take-10/room take-off.wav', 'click.wav'].map(
    shown => ({ shown }),
  )
  expect(latestTake(files)).toMatchObject({
    take: '10',
    earlier: ['3'],
    files: [
      { written: 'take-{take}/bass.wav' },
      { written: 'take-{take}/room take-off.wav' },
      { written: 'click.wav' },
    ],
  })
  expect(latestTake([{ shown: 'a.wav' }])).toEqual({
    take: null,
    earlier: [],
    files: [{ shown: 'a.wav', written: 'a.wav' }],
    missed: [],
  })
  expect(latestTake([{ shown: 'bass_tk04.wav' }]).files[0]?.written).toBe('bass_tk{take}.wav')
})

test('what was played in an earlier take alone, or belongs to another song, is not lost without a word', () => {
  const files = [
    ...['take-1/bass.wav', 'take-2/bass.wav', 'Rope Walk/take-1/voice.wav', 'Rope Walk/take-1/harp.wav'],
    'shaker_take1.wav',
  ].map(shown => ({ shown }))
  const { take, missed } = latestTake(files)
  expect(take).toBe('2')
  expect(missed.map(({ shown }) => shown)).toEqual([
    'Rope Walk/take-1/voice.wav',
    'Rope Walk/take-1/harp.wav',
  ])
})

describe('the recipe that is written', () => {
  const recording = (shown: string, sampleRateHz = 48_000) => ({
    shown,
    written: shown,
    facts: { ...FACTS, sampleRateHz },
    silent: false,
  })
  const guessed = (names: readonly string[], relations: readonly Relation[], rates: readonly number[] = []) =>
    makeGuess({
      song: 'Rope Walk',
      take: null,
      earlierTakes: [],
      recordings: names.map((name, i) => recording(`${name}.wav`, rates[i])),
      relations,
      leftOut: [],
    })

  test('a close microphone is blended before a room that shares more; names do not say the group twice', () => {
    const guess = guessed(
      ['bass di', 'bass close', 'bass room', 'click'],
      [tie(0, 1, 0.6, 80), tie(0, 2, 0.9, 400), tie(1, 2, 0.7, 320)],
      [48_000, 48_000, 48_000, 44_100],
    )
    expect(guess.groups.map(({ sources }) => sources.map(({ name }) => name))).toEqual([
      ['di', 'close', 'room'],
    ])
    const text = recipeText(guess)
    expect(text).toContain('parts: { di: 50, close: 50 }')
    expect(text).toContain('# track-1: # its header says 44100 Hz, that of all others 48000 Hz')
    expect(text).not.toContain('Several instruments')
  })

  test('a faint bleed is not blended, and a kit is told how to be a group of groups', () => {
    const guess = guessed(
      ['kick in', 'snare top', 'kick out', 'overheads'],
      [tie(0, 1, 0.16, 40), tie(0, 2, 0.9, 60), tie(0, 3, 0.8, 200), tie(1, 3, 0.8, 150)],
    )
    expect(guess.groups).toHaveLength(1)
    const text = recipeText(guess)
    expect(text).toContain('parts: { in: 50, out: 50 }')
    expect(text).toContain('recipes/kick-in-kit.yaml')
  })
})

describe('where to listen', () => {
  const heard = (seconds: number, from: number, to: number) => ({
    activity: {
      stepFrames: 2400,
      levelsDbfs: Float32Array.from({ length: seconds * 20 }, (_, i) =>
        i >= from * 20 && i < to * 20 ? -20 : -90,
      ),
    },
    sampleRateHz: 48_000,
    startSeconds: 0,
    silent: false,
  })

  test('everything of a short song; the 45 s in which most files play of a long one', () => {
    expect(passageToCompare([heard(40, 0, 40)])).toBeNull()
    expect(passageToCompare([])).toBeNull()
    const found = passageToCompare([heard(300, 0, 200), heard(300, 150, 300), heard(300, 140, 210)])
    expect(found).not.toBeNull()
    expect(found!.endSeconds - found!.startSeconds).toBe(45)
    expect(found!.startSeconds).toBe(150)
  })
})
