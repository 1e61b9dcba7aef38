import { describe, expect, test } from 'vitest'
import { addedPieces, differingMoves, isDoubtful, knotsOfPieces } from '../../src/decide/pieces.js'
import type { PieceMeasurement } from '../../src/measure/measurement.js'
import { likeNeighbours } from '../../src/measure/pieces/like-neighbour.js'
import { pieceRuns } from '../../src/measure/pieces/piece-runs.js'
import { pieceWarnings } from '../../src/measure/pieces/piece-warnings.js'
import { statedDiffers } from '../../src/measure/session/stated-check.js'
import type { PieceRecording } from '../../src/recipe/session.js'
import { VariableDelay } from '../../src/signal/variable-delay.js'
import { file, group, planOf } from '../decide/setting/song.js'
import { MONO } from '../recipe/recipe-room.js'

const RATE = 48000

const piece = (
  number: number,
  from: number,
  to: number,
  more: Partial<PieceMeasurement> = {},
): PieceMeasurement => ({
  piece: number,
  referencePiece: null,
  file: `piece-${number}.wav`,
  stretches: [{ startFrame: from * RATE, endFrame: to * RATE }],
  lagSamples: 96,
  lagUncertaintySamples: 0.02,
  arrivalSpreadSamples: 0.5,
  polarity: 'normal',
  verdict: 'sure',
  lagVerdict: 'sure',
  polarityVerdict: 'sure',
  reason: null,
  coherence: 0.8,
  candidates: [{ aim: 'arrival', lagSamples: 96, polarity: 'normal', score: 0.9 }],
  likePiece: null,
  ...more,
})
const unsure = { verdict: 'unsure', lagVerdict: 'unsure', reason: 'too short' } as const
const arrival = (lagSamples: number, score: number, polarity: 'normal' | 'inverted' = 'normal') => ({
  ...{ aim: 'arrival' as const, lagSamples, polarity, score },
})

describe('a piece that is not sure by itself', () => {
  const like = (more: Partial<PieceMeasurement>, isSilent = false) =>
    likeNeighbours(
      [piece(1, 0, 60), piece(2, 60, 60.4, { ...unsure, ...more }), piece(3, 90, 99)],
      RATE,
      () => isSilent,
    )[1]!.likePiece

  test('lies like its neighbour where that explains it nearly as well as anything', () => {
    expect(like({ lagSamples: 640, candidates: [arrival(640, 0.8), arrival(97.5, 0.7)] })).toBe(0)
  })
  test('does not where it asks for something else', () => {
    expect(like({ candidates: [arrival(640, 0.8), arrival(97.5, 0.3)] })).toBeNull()
    expect(like({ candidates: [arrival(640, 0.8), arrival(97.5, 0.8, 'inverted')] })).toBeNull()
    expect(like({ candidates: [arrival(130, 0.8)] })).toBeNull()
    expect(like({ coherence: 0.01, candidates: [] })).toBeNull()
  })
  test('goes along where nothing is heard of it, and never with another that is not sure', () => {
    const unmeasured = { coherence: null, candidates: [], lagSamples: null, verdict: 'unknown' } as const
    expect(like(unmeasured, true)).toBe(0)
    // Something is played, but for too short a time to say anything: nobody knows whether it fits.
    expect(like(unmeasured)).toBeNull()
    const all = likeNeighbours([piece(1, 0, 1, unsure), piece(2, 1, 2, unsure)], RATE, () => true)
    expect(all.map(({ likePiece }) => likePiece)).toEqual([null, null])
  })
  test('the nearest in time is asked', () => {
    const all = likeNeighbours(
      [piece(1, 0, 10, { lagSamples: 50 }), piece(2, 30, 30.3, unsure), piece(3, 31, 40)],
      RATE,
      () => false,
    )
    expect(all[1]!.likePiece).toBe(2)
  })
})

describe('what is measured together', () => {
  const stretch = (which: number, startFrame: number, endFrame: number) => ({
    piece: which,
    startFrame,
    endFrame,
  })
  const punched = [stretch(0, 0, 480000), stretch(1, 480000, 600000), stretch(0, 600000, 960000)]

  test('a performance that was punched whole: each piece against its own, with edges that nearly agree', () => {
    const late = punched.map(one => ({
      ...one,
      startFrame: one.startFrame + 300,
      endFrame: one.endFrame + 300,
    }))
    const runs = pieceRuns([punched, late, punched], 0, RATE)
    expect(runs.map(run => [run.referencePiece, run.pieces, run.units.map(({ track }) => track)])).toEqual([
      [0, [0, 0, 0], [1, 2]],
      [1, [1, 1, 1], [1, 2]],
    ])
    expect(runs[0]!.spans).toHaveLength(2)
  })

  test('one path alone: the others by all of the take, and to help with both of its pieces', () => {
    const runs = pieceRuns([[stretch(0, 0, 960000)], punched, [stretch(0, 0, 960000)]], 0, RATE)
    expect(runs.map(run => [run.pieces, run.units.map(({ track, piece: own }) => [track, own])])).toEqual([
      [[0, 0, 0], [[1, 0]]],
      [[0, 1, 0], [[1, 1]]],
      [[0, null, 0], [[2, 0]]],
    ])
  })

  test('the reference alone: a path that went on has a lag against each of its pieces', () => {
    const runs = pieceRuns([punched, [stretch(0, 0, 960000)]], 0, RATE)
    expect(
      runs.map(run => [run.referencePiece, run.units.map(one => [one.piece, one.referencePiece])]),
    ).toEqual([
      [0, [[0, 0]]],
      [1, [[0, 1]]],
    ])
  })

  test('an overlap of a few milliseconds says nothing', () => {
    expect(pieceRuns([[stretch(0, 0, 480000)], [stretch(0, 479000, 960000)]], 0, RATE)).toEqual([])
  })
})

const move = (fromFrame: number, shiftSamples: number, polarity: 'normal' | 'inverted' = 'normal') => ({
  ...{ fromFrame, shiftSamples, polarity },
})

describe('moves of pieces', () => {
  const moved = (pieces: ReturnType<typeof move>[]) => ({
    shiftSamples: 0,
    polarity: 'normal' as const,
    pieces,
  })

  test('that are alike are one', () => {
    expect(differingMoves([move(0, -5), move(100, -5), move(200, -5)])).toBeNull()
    expect(differingMoves([move(0, -5), move(100, -6), move(200, -6), move(300, -5)])).toEqual([
      move(0, -5),
      move(100, -6),
      move(300, -5),
    ])
  })

  test('add up with those of the group that holds them, in the time of the source', () => {
    const outer = moved([move(0, 1), move(1000, 2, 'inverted')])
    const inner = moved([move(0, 10), move(500, 20), move(900, 10)])
    expect(addedPieces(outer, inner, 100)).toEqual([move(0, 11), move(500, 21), move(900, 12, 'inverted')])
    const constant = { shiftSamples: 3, polarity: 'normal' as const, pieces: null }
    expect(addedPieces(constant, inner, 100)!.map(({ shiftSamples }) => shiftSamples)).toEqual([13, 23, 13])
    expect(addedPieces(constant, constant, 0)).toBeNull()
  })

  test('as a curve are one that a filter can follow, however far the pieces lie apart', () => {
    const curve = (moves: ReturnType<typeof move>[]) =>
      knotsOfPieces(moves, RATE).map(({ atSeconds, samples }) => ({
        ...{ frame: atSeconds * RATE + samples, shift: samples },
      }))
    const gentle = curve([move(0, -95.3), move(4800, -115), move(48000, -95.3)])
    expect(gentle.map(({ shift }) => shift)).toEqual([-95.3, -95.3, -115, -115, -95.3])
    expect(() => new VariableDelay(RATE, gentle)).not.toThrow()
    // 100 frames are too short to go 1800 frames to and fro: that piece is passed over.
    const short = curve([move(0, -900), move(48000, 900), move(48100, -900), move(96000, 0)])
    expect(short.map(({ shift }) => shift)).toEqual([-900, -900, -900, -900, 0])
    expect(() => new VariableDelay(RATE, short)).not.toThrow()
  })

  test('wait for the latest piece with hold: latest, and stay whole with resolution: sample', async () => {
    const pieces = [piece(1, 0, 4, { lagSamples: 95.31 }), piece(2, 4, 10, { lagSamples: 115.01 })]
    const bridge = file('bridge', { lagSamples: 95.31, pieces })
    const plan = await planOf(
      [group('g', [file('piezo'), bridge], { align: { hold: 'latest', resolution: 'sample' } })],
      {},
    )
    expect(plan.groups[0]!.lateSamples).toBe(115)
    expect(plan.sources[1]!.move.pieces).toEqual([move(0, 20), move(4 * RATE, 0)])
    const stem = plan.stems.find(({ name }) => name === 'g_bridge')!
    expect(stem.dither).toBe(false)
    expect(stem.parts[0]!.runs!.map(({ atSamples }) => atSamples)).toEqual([20, 0])
  })

  test('a piece that nobody is sure of stays as recorded, and that is told', async () => {
    const pieces = [piece(1, 0, 4), piece(2, 4, 10, { ...unsure, lagSamples: 640 })]
    const bridge = file('bridge', { lagSamples: 96, verdict: 'unsure', lagVerdict: 'unsure', pieces })
    const plan = await planOf([group('g', [file('piezo'), bridge])], {})
    expect(plan.sources[1]!.move.pieces!.map(({ shiftSamples }) => shiftSamples)).toEqual([-96, 0])
    expect(plan.warnings.map(({ code, message }) => [code, message.slice(0, 9)])).toEqual([
      ['NOT_SURE', 'Piece 2: '],
    ])
  })
})

describe('what the recipe states of a piece', () => {
  const pieces = [piece(1, 0, 4), piece(2, 4, 10, { ...unsure, lagSamples: 640 })]
  const measured = { lagSamples: 96, verdict: 'unsure', lagVerdict: 'unsure', pieces } as const
  const recording = (name: string) => ({ file: `/takes/${name}.wav`, fileShown: `${name}.wav`, facts: MONO })
  const bridge = (own: Pick<PieceRecording, 'lag' | 'polarity'>) =>
    file('bridge', measured, { pieces: [recording('one'), { ...recording('two'), ...own }] })

  test('is done without question, to that piece alone', async () => {
    const stated = bridge({ lag: { samples: 120 }, polarity: 'inverted' })
    const plan = await planOf([group('g', [file('piezo'), stated])], {})
    expect(plan.sources[1]!.move.pieces).toEqual([move(0, -96), move(4 * RATE, -120, 'inverted')])
    expect(plan.sources[1]!.move.because).toBe(
      'piece 1 late by 2.000 ms, sure; piece 2 late by 2.500 ms as the recipe states, inverted as the recipe states',
    )
    expect(plan.warnings).toEqual([])
    expect(isDoubtful(stated.source, stated.measured)).toBe(false)
  })

  test('and what it leaves to the measurement needs a verdict', async () => {
    const turned = bridge({ polarity: 'inverted' })
    const plan = await planOf([group('g', [file('piezo'), turned])], {})
    expect(plan.sources[1]!.move.pieces).toEqual([move(0, -96), move(4 * RATE, 0, 'inverted')])
    expect(plan.warnings.map(({ code }) => code)).toEqual(['NOT_SURE'])
    expect(isDoubtful(turned.source, turned.measured)).toBe(true)
    // A piece that is to stay, of a source that the measurement is not sure of.
    expect(isDoubtful(bridge({ lag: 'as-recorded' }).source, turned.measured)).toBe(false)
  })

  test('is held against a measurement that is sure', async () => {
    const { session } = await sessionWith()
    const told = (own: Pick<PieceRecording, 'lag' | 'polarity'>, found: Partial<PieceMeasurement>) => {
      const both = [piece(1, 0, 4), piece(2, 4, 10, { lagSamples: 120, ...found })]
      const { source } = bridge(own)
      return [
        ...statedDiffers({ session, group: session.groups[0]! }, source, {
          ...file('bridge', { lagSamples: 96 }).measured,
          pieces: both,
        }),
      ]
    }
    expect(told({ lag: { samples: 120 } }, {})).toEqual([])
    expect(told({ lag: { samples: 96 } }, {})).toEqual([
      'Piece 2: The recipe states a lag of 2.00 ms; measured are 2.50 ms. The stated lag is used; check it by ear.',
    ])
    expect(told({ polarity: 'inverted' }, {})).toEqual([expect.stringMatching(/^Piece 2: The recipe turns/)])
    expect(told({ polarity: 'inverted' }, { polarity: 'inverted' })).toEqual([])
    expect(told({}, {})).toEqual([])
  })
})

describe('what is told of pieces', () => {
  test('a change beyond its uncertainty, a polarity that turns, and a piece that lies like another', async () => {
    const { session } = await sessionWith()
    const pieced = session.groups[0]!
    const told = (pieces: readonly PieceMeasurement[]) =>
      pieceWarnings(session, pieced, [{ ...file('bridge').measured, pieces }]).map(({ code, message }) => [
        code,
        message,
      ])
    expect(told([piece(1, 0, 4), piece(2, 4, 9, { lagSamples: 96.5 })])).toEqual([])
    expect(told([piece(1, 0, 4), piece(2, 4, 9, { lagSamples: 116, lagUncertaintySamples: 9 })])).toEqual([])
    expect(told([piece(1, 0, 4), piece(2, 72, 90, { lagSamples: 76 })])).toEqual([
      [
        'PIECE_MOVED',
        expect.stringMatching(
          /^Piece 2 \(piece-2\.wav, at 1:12\) arrives 0\.42 ms earlier \(14\.3 cm of air\) than piece 1: /,
        ),
      ],
    ])
    // A third one, punched into the first again, is as that was: no news.
    const take = piece(1, 0, 4, {
      stretches: [
        { startFrame: 0, endFrame: 4 * RATE },
        { startFrame: 6 * RATE, endFrame: 9 * RATE },
      ],
    })
    expect(told([take, piece(2, 4, 6, { lagSamples: 116 }), piece(3, 9, 10)])).toHaveLength(1)
    expect(told([piece(1, 0, 4), piece(2, 4, 9, { polarity: 'inverted' })])[0]![1]).toMatch(
      / is the other way round\./,
    )
    expect(told([piece(1, 0, 4), piece(2, 4, 9, { ...unsure, likePiece: 0 })])).toEqual([
      ['PIECE_LIKE_NEIGHBOUR', expect.stringMatching(/^Piece 2 .* fits the lag of piece 1 beside it/)],
    ])
  })
})

const sessionWith = async () => {
  const { newSongFolder, sessionOf, write } = await import('./setting.js')
  const folder = newSongFolder()
  for (const name of ['a.wav', 'b.wav']) write(folder, name, [new Float64Array(4800)])
  return {
    session: await sessionOf(
      folder,
      'recipe: 1\nsong: T\ngroups: { g: { reference: a, sources: { a: a.wav, b: b.wav } } }\n',
    ),
  }
}
