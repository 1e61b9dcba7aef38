import { describe, expect, test } from 'vitest'
import type { Plan } from '../../src/decide/plan.js'
import { blockFrames, neighbourInputs, windowFrames } from '../../src/tone/neighbours/neighbour-input.js'
import { whenLost } from '../../src/tone/neighbours/neighbour-warnings.js'
import type { Voice } from '../../src/tone/neighbours/voices.js'
import { notesOf, PARTIALS } from '../../src/tone/notes/harmonic-series.js'
import type { TonalLine } from '../../src/tone/notes/tonal-lines.js'
import { playedSemitones } from '../../src/tone/predict/semitones.js'
import { binsAt } from './setting/spectra.js'

/* Lines and notes by themselves, worked out by hand (found by `npm run mutants`). */

const BIN_HZ = 2
const line = (frequencyHz: number, energy: number): TonalLine => ({ frequencyHz, energy })
const notes = (lines: readonly TonalLine[], isTone: (line: TonalLine) => boolean = () => false) =>
  notesOf(
    [...lines].sort((a, b) => b.energy - a.energy),
    BIN_HZ,
    isTone,
  )

describe('a harmonic series', () => {
  const none = (count: number): number[] => new Array<number>(count).fill(0)

  test('of three lines, and half again as many as chance would give, is a note; of fewer only what lasts', () => {
    const four = [line(100, 4), line(200, 9), line(300, 1), line(400, 1)]
    expect(notes(four)).toEqual([
      { fundamentalHz: expect.closeTo(100, 9) as number, energies: [4, 9, 1, 1, ...none(12)] },
    ])
    // Three lines in 200 Hz: chance would give 0.2 of a line.
    expect(notes(four.slice(0, 3))).toEqual([])
    expect(notes(four.slice(0, 2), ({ frequencyHz }) => frequencyHz === 200)).toHaveLength(1)
    const [lasting] = notes(four.slice(0, 2), ({ frequencyHz }) => frequencyHz === 100)
    expect(lasting?.energies.slice(0, 2)).toEqual([4, 0]) // the other was passed over before
    expect(notes(four.slice(1))).toEqual([]) // no fundamental
  })

  test('its fundamental is told by the lower partials, the higher the better', () => {
    const stretched = [line(100, 9), line(200.4, 4), line(301.2, 1), line(402, 1)]
    const [note] = notes(stretched)
    expect(note?.fundamentalHz).toBeCloseTo((100 + 2 * 200.4 + 3 * 301.2 + 4 * 402) / (1 + 4 + 9 + 16), 9)
  })

  test('partials may lie 1.4 % beside their place, less the higher they are', () => {
    const beside = (share: number) =>
      notes([line(1000, 9), line(2000, 4), line(3000, 4), line(4000 * (1 + share), 1)])[0]?.energies[3] ??
      'no note'
    // 0.014 / √4
    expect(beside(0.0069)).toBe(1)
    expect(beside(0.0071)).toBe('no note')
  })

  test('missing partials are no octave error, and a stronger line beside one is taken', () => {
    const [note] = notes([line(110, 9), line(220, 1), line(221, 4), line(330, 2), line(440, 1)])
    expect(note?.energies).toEqual([9, 4, 2, 1, ...none(12)])
    const odd = notes([line(110, 9), line(330, 5), line(550, 4), line(770, 2), line(990, 1)])
    expect(odd[0]?.fundamentalHz).toBeCloseTo(110, 6)
    expect(odd[0]?.energies).toEqual([9, 0, 5, 0, 4, 0, 2, 0, 1, ...none(7)])
  })

  test('two notes at a time: the strongest first, each line once; what lies 30 dB under it is none', () => {
    const low = [line(100, 90), line(200, 40), line(300, 10), line(400, 9), line(500, 8)]
    const high = (energy: number) => [1, 2, 3, 4, 5, 6].map(partial => line(473 * partial, energy / partial))
    const both = notes([...low, ...high(9)])
    expect(both.map(({ fundamentalHz }) => Math.round(fundamentalHz))).toEqual([100, 473])
    expect(notes([...low, ...high(0.091)])).toHaveLength(2)
    expect(notes([...low, ...high(0.089)])).toHaveLength(1)
  })

  test('from 27 Hz to 2.2 kHz, at most eight at a time', () => {
    const series = (hz: number) => [1, 2, 3, 4, 5, 6, 7].map(partial => line(hz * partial, 10 / partial))
    expect(notes(series(27.1))[0]?.fundamentalHz).toBeCloseTo(27.1, 6)
    expect(notes(series(26.9)).every(({ fundamentalHz }) => fundamentalHz > 27)).toBe(true)
    expect(notes(series(2199))).toHaveLength(1)
    expect(notes(series(2210)).every(({ fundamentalHz }) => fundamentalHz < 2200)).toBe(true)
    const many = [101, 137, 173, 211, 257, 307, 359, 419, 487, 541].flatMap(hz =>
      [1, 2, 3, 4, 5, 6, 7, 8, 9].map(partial => line(hz * partial, 10 / partial)),
    )
    expect(notes(many, () => true)).toHaveLength(8)
  })

  test('lines everywhere, as of a cymbal, are no series', () => {
    expect(
      notes(Array.from({ length: 400 }, (_, i) => line(300 + 7 * i + ((i * 5) % 3), 1 + (i % 4)))),
    ).toEqual([])
  })
})

describe('the notes of a blend', () => {
  const midi = 45 // A2, 110 Hz
  const bins = binsAt([110, 220, 330, 440], 1)
  const blend = (power: number[], inPhase: number[]) => ({
    power: Float64Array.from(power),
    inPhase: Float64Array.from(inPhase),
  })
  const energies = (...heard: (readonly [note: number, partial: number, energy: number])[]): Float64Array => {
    const all = new Float64Array(128 * PARTIALS)
    for (const [note, partial, energy] of heard) all[note * PARTIALS + partial] = energy
    return all
  }

  test('lose what their partials lose, each by how much of it was heard', () => {
    const before = blend([1, 2, 0, 0], [4, 4, 0, 0])
    const after = blend([4, 1, 0, 0], [4, 4, 0, 0])
    const loudness = Float64Array.of(10, 5, 0, 0)
    const [note, ...others] = playedSemitones(
      { energies: energies([midi, 0, 10], [midi, 1, 2.5]), heard: 20 },
      { before, after },
      loudness,
      bins,
    )
    expect(others).toEqual([])
    // fundamental whole, second partial half: before 1 + 2/2 of 4 + 4/2, after 4 + 1/2 of the same
    expect(note).toMatchObject({ midi, name: 'A2', energyShare: 1 })
    expect(note?.lossBeforeDb).toBeCloseTo(10 * Math.log10(6 / 2), 9)
    expect(note?.lossAfterDb).toBeCloseTo(10 * Math.log10(6 / 4.5), 9)
  })

  test('count from a hundredth of what was played on, and only where a fifth of all that was heard is notes', () => {
    const flat = blend([1, 1, 1, 1], [1, 1, 1, 1])
    const told = (second: number, heard: number) =>
      playedSemitones(
        { energies: energies([midi, 0, 99], [57, 0, second]), heard },
        { before: flat, after: flat },
        Float64Array.of(1, 1, 1, 1),
        bins,
      ).map(note => note.midi)
    expect(told(1, 100)).toEqual([midi, 57])
    expect(told(0.9, 100)).toEqual([midi])
    expect(told(1, 500)).toEqual([midi, 57])
    expect(told(1, 501)).toEqual([])
    expect(
      playedSemitones(
        { energies: energies(), heard: 0 },
        { before: flat, after: flat },
        new Float64Array(4),
        bins,
      ),
    ).toEqual([])
  })

  test('shares are of what the blend holds, and sum to 1', () => {
    const after = blend([1, 3, 0, 0], [1, 3, 0, 0])
    const shares = playedSemitones(
      { energies: energies([midi, 0, 5], [57, 0, 5]), heard: 10 },
      { before: after, after },
      Float64Array.of(5, 5, 0, 0),
      bins,
    ).map(({ energyShare }) => energyShare)
    expect(shares).toEqual([expect.closeTo(0.25, 12), expect.closeTo(0.75, 12)])
  })
})

describe('pieces of work for the groups of a song', () => {
  test('64 blocks of five half windows each, and what is left', () => {
    expect([8000, 44100, 48000, 96000].map(windowFrames)).toEqual([2048, 16384, 16384, 32768])
    expect(blockFrames(48000)).toBe(40960)
    const stem = (frames: number, channels: number) =>
      ({
        sampleRateHz: 48000,
        frames,
        channels,
        file: 'f',
        fileName: 'f',
        parts: [],
      }) as unknown as Voice['stems'][number]
    const piecesOf = (frames: number) =>
      neighbourInputs(
        { sources: [] } as unknown as Plan,
        [
          { group: 'a', stems: [stem(frames, 1)] },
          { group: 'b', stems: [stem(7, 2)] },
        ],
        ({ channels }) => `${channels}.wav`,
      )
    const pieces = piecesOf(40960 * 130 + 1)
    expect(pieces.map(({ firstBlock, blocks }) => [firstBlock, blocks])).toEqual([
      [0, 64],
      [64, 64],
      [128, 3],
    ])
    expect(pieces[0]).toMatchObject({ sampleRateHz: 48000, frames: 40960 * 130 + 1, channels: 2 })
    expect(pieces[0]!.voices.map(({ delivered }) => delivered)).toEqual([
      [{ file: '1.wav', channels: 1 }],
      [{ file: '2.wav', channels: 2 }],
    ])
    expect(piecesOf(40960 * 64).map(({ blocks }) => blocks)).toEqual([64])
    expect(piecesOf(0).map(({ blocks }) => blocks)).toEqual([1])
  })

  test('when something is lost: bars where there is a tempo', () => {
    const loss = { groups: ['a', 'b'], centreHz: 100, lossDb: 2, fromSeconds: 20.6, toSeconds: 65.4 } as const
    expect(whenLost({ ...loss, fromBar: 9, toBar: 16 })).toBe('in bars 9–16 (0:21–1:05)')
    expect(whenLost({ ...loss, fromBar: 9, toBar: 9 })).toBe('in bar 9 (0:21–1:05)')
    expect(whenLost({ ...loss, fromBar: null, toBar: null })).toBe('at 0:21–1:05')
    expect(whenLost({ ...loss, fromBar: 9, toBar: null })).toBe('at 0:21–1:05')
  })
})
