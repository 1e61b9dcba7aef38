import { expect, test } from 'vitest'
import { checkText } from '../../src/cli/check-text.js'
import { measureText } from '../../src/cli/measure-text.js'
import { faultsText, warningsText } from '../../src/cli/tell.js'
import type { CheckedSong, CheckedSource } from '../../src/jobs/song/check-song.js'
import type { SongMeasurement, SourceMeasurement } from '../../src/measure/measurement.js'
import { fault } from '../../src/terms/fault.js'
import type { Warning } from '../../src/terms/warning.js'

const page = { width: 80, colour: false }

const checkedSource = (name: string, more: Partial<CheckedSource> = {}): CheckedSource => ({
  name,
  file: `audio/a-long-way-down/${name}.wav`,
  sha256: '0'.repeat(64),
  channels: 1,
  frames: 48_000 * 75,
  bitDepth: 24,
  sampleFormat: 'int',
  stampSamples: null,
  silent: false,
  loudnessLufs: -23.04,
  rmsDbfs: -24,
  samplePeakDbfs: -6.2,
  truePeakDbtp: -6.01,
  dcOffset: 0,
  clippedRuns: 0,
  droppedStretches: 0,
  hum: null,
  ...more,
})
const warning = (code: Warning['code'], source: string): Warning => ({
  code,
  group: 'bass',
  source,
  message: `This is what ${code} means.`,
})
const checked = (sources: readonly CheckedSource[], warnings: readonly Warning[]): CheckedSong => ({
  recipe: 'song.yaml',
  song: 'Song',
  take: '4',
  groups: [{ name: 'bass', reference: 'piezo', sampleRateHz: 44_100, sources }],
  files: sources.length,
  warnings,
})

test('check: one line per recording, in a few letters what to look at', () => {
  const song = checked(
    [
      checkedSource('piezo'),
      checkedSource('bridge', {
        clippedRuns: 3,
        hum: { frequencyHz: 60, levelDbfs: -50 },
        bitDepth: 32,
        sampleFormat: 'float',
      }),
      checkedSource('room', { silent: true, loudnessLufs: null, truePeakDbtp: null }),
    ],
    [warning('CLIPPED', 'bridge'), warning('HUM', 'bridge'), warning('SILENT', 'room')],
  )
  expect(checkText(song, page).split('\n')).toEqual([
    'Song, take 4',
    '',
    'bass, 44.1 kHz, reference piezo',
    '  source  ch  bits  length   LUFS  dBTP  look at',
    '  piezo    1    24    1:22  −23.0  −6.0',
    '  bridge   1   32f    1:22  −23.0  −6.0  clipped 3×, hum 60 Hz',
    '  room     1    24    1:22      –     –  silent',
    '',
    'The recipe is sound. 3 recordings read: 2 sources to look at.',
    '',
  ])
  expect(checkText(song, { ...page, width: 120 })).toContain('audio/a-long-way-down/bridge.wav')
  for (const line of checkText(song, { ...page, width: 44 })
    .split('\n')
    .slice(2, 7)) {
    expect(line.length).toBeLessThanOrEqual(46)
  }
})

test('check counts the files where there are others than sources: pieces, or several tracks in one file', () => {
  const song = checked([checkedSource('piezo'), checkedSource('bridge')], [])
  const counted = (files: number): string | undefined =>
    checkText({ ...song, files }, page)
      .trim()
      .split('\n')
      .at(-1)
  expect([1, 2, 5].map(counted)).toEqual([
    'The recipe is sound. 2 sources in 1 file read: nothing to look at.',
    'The recipe is sound. 2 recordings read: nothing to look at.',
    'The recipe is sound. 2 sources in 5 files read: nothing to look at.',
  ])
})

test('a warning of a kind that has no short form yet is named by its code', () => {
  const song = checked(
    [checkedSource('piezo')],
    [warning('WAVE_TRUNCATED', 'piezo'), warning('RATE_LABEL', 'piezo')],
  )
  expect(checkText(song, page)).toContain('cut short, rate label')
})

const source = (name: string, more: Partial<SourceMeasurement>): SourceMeasurement =>
  ({
    name,
    lagSamples: null,
    lagUncertaintySamples: null,
    arrivalSpreadSamples: null,
    lagMs: null,
    distanceMetres: null,
    polarity: null,
    verdict: 'sure',
    reason: null,
    advice: null,
    pooled: null,
    candidates: [],
    ...more,
  }) as SourceMeasurement

const measured: SongMeasurement = {
  recipe: 'song.yaml',
  song: 'Song',
  take: null,
  groups: [
    {
      name: 'bass',
      reference: 'piezo',
      sampleRateHz: 48_000,
      closureSamples: 0.138,
      sources: [
        source('piezo', { lagSamples: 0, lagMs: 0, polarity: 'normal' }),
        source('bridge', {
          lagSamples: 95.31,
          lagMs: 1.986,
          lagUncertaintySamples: 0.04,
          arrivalSpreadSamples: 2.1,
          distanceMetres: 0.683,
          polarity: 'normal',
          advice: {
            text: 'move it 2.4 cm back and it arrives with piezo; from take to take keep the stands within 1.3 cm (1 dB at 4.0 kHz)',
            moveMetres: 0.024,
            toleranceMetres: 0.013,
            toleranceCelsius: null,
            toleranceHz: 4000,
            tones: [],
          },
        }),
        source('early', {
          lagSamples: -12,
          lagMs: -0.25,
          lagUncertaintySamples: 0.5,
          arrivalSpreadSamples: 0.1,
          distanceMetres: -0.086,
          polarity: 'inverted',
          verdict: 'unsure',
          reason:
            'Another period of the held note explains the sound nearly as well: play a short, sharp note in both paths.',
        }),
        source('dead', { verdict: 'unknown', reason: 'It is silent.' }),
        source('copy', {
          lagSamples: 0,
          lagMs: 0,
          lagUncertaintySamples: 0,
          distanceMetres: 0,
          polarity: 'normal',
        }),
      ],
    },
  ],
  warnings: [],
}

test('measure: late is positive, the larger of uncertainty and spread after the ±, a reason where it is not sure, advice for the next take', () => {
  expect(measureText(measured, page).split('\n')).toEqual([
    'Song',
    '',
    'bass, against piezo; its pairs agree within 0.14 frames',
    '  piezo   reference                                             sure',
    '  bridge  1.99 ms late   +95.3 ± 2.1 frames   0.68 m  normal    sure',
    '    next take: move it 2.4 cm back and it arrives with piezo; from take to take',
    '    keep the stands within 1.3 cm (1 dB at 4.0 kHz)',
    '  early   0.25 ms early  −12.0 ± 0.5 frames  −0.09 m  inverted  unsure',
    '    Another period of the held note explains the sound nearly as well: play a',
    '    short, sharp note in both paths.',
    '  dead    –                               –        –  –         unknown',
    '    It is silent.',
    '  copy    in time          0.0 ± 0.0 frames   0.00 m  normal    sure',
    '',
  ])
})

test('measure: a narrow terminal keeps when, which way round and how sure; a wide one has room for the advice', () => {
  const narrow = measureText(measured, { ...page, width: 44 }).split('\n')
  expect(narrow.filter(line => /^ {2}\S/.test(line))).toEqual([
    '  piezo   reference                sure',
    '  bridge  1.99 ms late   normal    sure',
    '  early   0.25 ms early  inverted  unsure',
    '  dead    –              –         unknown',
    '  copy    in time        normal    sure',
  ])
  // The head of a group names what it must.
  for (const line of narrow.filter(l => l.startsWith('  '))) expect(line.length).toBeLessThanOrEqual(44)
  const wide = measureText(measured, { ...page, width: 160 })
  expect(wide).toContain(
    '    next take: move it 2.4 cm back and it arrives with piezo; from take to take keep the stands within 1.3 cm (1 dB at 4.0 kHz)\n',
  )
})

test('no name can move the cursor', () => {
  const nasty = '\u001b[2Jbass\u202e'
  const song = {
    ...measured,
    song: nasty,
    groups: [{ ...measured.groups[0]!, name: nasty, reference: nasty }],
  }
  const text =
    measureText(song, page) + checkText({ ...checked([checkedSource(nasty)], []), song: nasty }, page)
  expect(text).not.toMatch(/[\u0000-\u0009\u000b-\u001f\u202e]/)
  expect(text).toContain('[U+001B][2Jbass[U+202E]')
})

test('warnings: code, whose, sentence within the width; the recipe where there are several', () => {
  const one = { ...warning('HUM', 'room'), message: 'word '.repeat(30).trim(), recipe: 'a.yaml' }
  const text = warningsText([one], page)
  expect(text.split('\n')[0]).toBe('HUM')
  expect(text).toContain('  bass/room: word')
  expect(Math.max(...text.split('\n').map(line => line.length))).toBeLessThanOrEqual(80)
  expect(warningsText([one, { ...one, recipe: 'b.yaml' }], page)).toContain('  b.yaml/bass/room: word')
  expect(warningsText([], page)).toBe('')
})

test('the first fifty faults, and how many more', () => {
  const faults = Array.from({ length: 53 }, (_, i) => fault('WAVE_HEADER', `fault ${i}.`))
  const text = faultsText(faults, page)
  expect(text.match(/fault \d+\./g)).toHaveLength(50)
  expect(text.endsWith('\nand 3 more faults\n')).toBe(true)
  expect(faultsText(faults.slice(0, 51), page)).toContain('and 1 more fault\n')
  expect(faultsText(faults.slice(0, 50), page)).not.toContain('more')
  expect(faultsText([], page)).toBe('')
})
