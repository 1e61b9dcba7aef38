import { describe, expect, test } from 'vitest'
import { heardStretches, laidFrames, type PieceLayout } from '../../src/recipe/pieces/piece-layout.js'
import { movedRuns, pieceWindows } from '../../src/recipe/pieces/piece-windows.js'
import { applyWindow, fadeWeight } from '../../src/signal/cross-fade.js'

const piece = (file: string, atFrame: number, fileFrames: number, fromFrame = 0, toFrame = fileFrames) => ({
  ...{ file, fileFrames, fromFrame, toFrame, atFrame },
})
const layout = (fadeFrames: number, ...pieces: ReturnType<typeof piece>[]): PieceLayout => ({
  pieces,
  fadeFrames,
})
const normal = 'normal' as const

/** A take of 10 000 frames with a punch-in from 4000 to 6000. */
const punched = layout(100, piece('take', 0, 10000), piece('punch', 4000, 2000))

describe('which piece is heard', () => {
  test('a later piece lies over the earlier ones, which go on after it', () => {
    expect(heardStretches(punched)).toEqual([
      { piece: 0, startFrame: 0, endFrame: 4000 },
      { piece: 1, startFrame: 4000, endFrame: 6000 },
      { piece: 0, startFrame: 6000, endFrame: 10000 },
    ])
    expect(laidFrames(punched)).toBe(10000)
  })

  test('the order of the recipe counts, not that of time; what is covered is not heard', () => {
    const covered = layout(100, piece('punch', 4000, 2000), piece('take', 0, 10000))
    expect(heardStretches(covered)).toEqual([{ piece: 1, startFrame: 0, endFrame: 10000 }])
    const apart = layout(100, piece('b', 7000, 1000), piece('a', 0, 5000))
    expect(heardStretches(apart).map(({ piece: one }) => one)).toEqual([1, 0])
  })
})

describe('windows as recorded', () => {
  test('cross-fades lie within the piece on top, and neighbours overlap by them', () => {
    expect(
      pieceWindows(punched).map(w => [w.file, w.startFrame, w.endFrame, w.fadeInFrames, w.fadeOutFrames]),
    ).toEqual([
      ['take', 0, 4100, 0, 100],
      ['punch', 4000, 6000, 100, 100],
      ['take', 5900, 10000, 100, 0],
    ])
  })

  test('a cut take draws on what its file holds beyond the cut; two performances fade by power, one goes on by amplitude', () => {
    const comp = layout(
      100,
      piece('a', 0, 9000, 0, 5000),
      piece('b', 5000, 9000, 5000),
      piece('b', 9000, 9000, 8000),
    )
    const windows = pieceWindows(comp)
    expect(windows.map(w => [w.startFrame, w.endFrame])).toEqual([
      [0, 5100],
      [5000, 9000],
      [8900, 10000],
    ])
    expect(windows.map(w => [w.fadeIn, w.fadeOut])).toEqual([
      ['amplitude', 'power'],
      ['power', 'power'],
      ['power', 'amplitude'],
    ])
  })

  test('files that only just meet are joined without a fade', () => {
    const split = layout(100, piece('one', 0, 5000), piece('two', 5000, 5000))
    expect(pieceWindows(split).map(w => [w.startFrame, w.endFrame, w.fadeInFrames, w.fadeOutFrames])).toEqual(
      [
        [0, 5000, 0, 0],
        [5000, 10000, 0, 0],
      ],
    )
  })

  test('a gap and a cut end are faded; a file’s own start and end are not', () => {
    const gap = layout(100, piece('one', 0, 9000, 500, 5000), piece('two', 7000, 5000))
    expect(pieceWindows(gap).map(w => [w.startFrame, w.endFrame, w.fadeInFrames, w.fadeOutFrames])).toEqual([
      [0, 4500, 100, 100],
      [7000, 12000, 100, 0],
    ])
  })
})

describe('pieces that are moved', () => {
  test('the cross-fade goes along with the piece on top, and the file below fills it', () => {
    const runs = movedRuns(punched, [
      { fromFrame: 0, shiftSamples: -20.5, polarity: normal },
      { fromFrame: 4000, shiftSamples: -39.25, polarity: normal },
      { fromFrame: 6000, shiftSamples: -20.5, polarity: normal },
    ])
    expect(
      runs.map(r => [r.startFrame, r.endFrame, r.fadeInFrames, r.fadeOutFrames, r.shiftSamples]),
    ).toEqual([
      [-21, 4061, 0, 100, -20.5],
      [3961, 5960, 100, 100, -39.25],
      [5860, 9980, 100, 0, -20.5],
    ])
    // Below the fades the files go on.
    expect(runs.map(r => r.windows.map(w => [w.startFrame, w.endFrame]))).toEqual([
      [[0, 10000]],
      [[4000, 6000]],
      [[0, 10000]],
    ])
  })

  test('pieces that are moved alike are one run, with their own cross-fades in it', () => {
    const runs = movedRuns(punched, [{ fromFrame: 0, shiftSamples: 3, polarity: normal }])
    expect(runs).toHaveLength(1)
    expect(runs[0]!.windows).toEqual(pieceWindows(punched))
  })

  test('files that only just met and are torn apart fade out and in', () => {
    const split = layout(100, piece('one', 0, 5000), piece('two', 5000, 5000))
    const [left, right] = movedRuns(split, [
      { fromFrame: 0, shiftSamples: 0, polarity: normal },
      { fromFrame: 5000, shiftSamples: 7, polarity: normal },
    ])
    expect([left!.endFrame, right!.startFrame]).toEqual([5000, 5007])
    expect([left!.fadeOutFrames, right!.fadeInFrames]).toEqual([100, 100])
  })

  test('files that only just met and now overlap fade over what they have in common', () => {
    const split = layout(100, piece('one', 0, 5000), piece('two', 5000, 5000))
    const [left, right] = movedRuns(split, [
      { fromFrame: 0, shiftSamples: 0, polarity: normal },
      { fromFrame: 5000, shiftSamples: -30, polarity: normal },
    ])
    expect([left!.endFrame, right!.startFrame, left!.fadeOutFrames, right!.fadeInFrames]).toEqual([
      5000, 4970, 30, 30,
    ])
  })
})

describe('weights', () => {
  test('sum to 1 by amplitude or by power, all the way', () => {
    for (let i = 0; i <= 200; i++) {
      const part = i / 200
      expect(fadeWeight('amplitude', part) + fadeWeight('amplitude', 1 - part)).toBeCloseTo(1, 14)
      expect(fadeWeight('power', part) ** 2 + fadeWeight('power', 1 - part) ** 2).toBeCloseTo(1, 14)
    }
  })

  test('frames of full weight keep their bits, whichever way the block is cut', () => {
    const [, window] = pieceWindows(punched)
    const whole = [Float64Array.from({ length: 3000 }, (_, i) => Math.sin(i))]
    const cut = [whole[0]!.slice()]
    applyWindow(window!, whole, 3500)
    for (let at = 0; at < 3000; at += 777) applyWindow(window!, [cut[0]!.subarray(at, at + 777)], 3500 + at)
    expect(cut[0]).toEqual(whole[0])
    expect(whole[0]!.subarray(600, 2400)).toEqual(
      Float64Array.from({ length: 1800 }, (_, i) => Math.sin(i + 600)),
    )
    expect(whole[0]!.subarray(0, 500).every(v => v === 0)).toBe(true)
    expect(whole[0]!.subarray(2500).every(v => v === 0)).toBe(true)
  })
})
