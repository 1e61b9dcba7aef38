import { expect, test } from 'vitest'
import { compareTakes } from '../../src/lock/compare/compare-takes.js'
import type { PieceBefore, TakeBefore } from '../../src/lock/lock.js'

const piece = (number: number, lagSamples: number, more: Partial<PieceBefore> = {}): PieceBefore => ({
  piece: number,
  referencePiece: number,
  lagSamples,
  lagUncertaintySamples: 0.01,
  polarity: 'normal',
  verdict: 'sure',
  ...more,
})

/** A take whose source has these pieces; the first is the one that is heard longest. */
const take = (pieces: readonly PieceBefore[]): TakeBefore => ({
  take: null,
  temperatureCelsius: 20,
  groups: {
    bass: {
      reference: 'piezo',
      sampleRateHz: 48000,
      sources: {
        bridge: {
          via: 'mic',
          audioSha256: null,
          lagSamples: pieces[0]!.lagSamples,
          lagUncertaintySamples: 0.01,
          polarity: 'normal',
          verdict: 'sure',
          loudnessLufs: -20,
          pieces,
        },
      },
    },
  },
  blends: {},
})

const bridge = (before: readonly PieceBefore[], now: readonly PieceBefore[]) =>
  compareTakes(take(before), take(now)).groups[0]!.sources[0]!

test('a punch-in that was recorded again is compared by itself', () => {
  const { pieces = [], words } = bridge([piece(1, 96.6), piece(2, 96.6)], [piece(1, 96.6), piece(2, 93.24)])
  expect(pieces).toHaveLength(2)
  expect(pieces[0]).toMatchObject({ lagChangeSamples: 0, clear: false })
  // 3.36 frames are 0.07 ms; at 20 °C sound goes 343.2 m/s (Cramer 1993 gives 343.4): 2.40 cm.
  expect(pieces[1]!.lagChangeMs).toBeCloseTo(-0.07, 9)
  expect(pieces[1]!.distanceChangeMetres).toBeCloseTo(-0.02402, 4)
  expect(words).toBe('bridge mic: piece 2 is 2.4 cm nearer than before (−3.4 frames, −0.070 ms)')
})

test('what moved as a whole is told once', () => {
  const { words } = bridge([piece(1, 96.6), piece(2, 96.6)], [piece(1, 93.24), piece(2, 93.24)])
  expect(words).toBe('bridge mic is 2.4 cm nearer than before (−3.4 frames, −0.070 ms)')
})

test('pieces that came or went, another polarity, another verdict', () => {
  expect(bridge([piece(1, 96.6)], [piece(1, 96.6), piece(2, 96.6)]).words).toBe('bridge mic: piece 2 is new')
  expect(
    bridge([piece(1, 96.6), piece(2, 96.6), piece(3, 96.6)], [piece(1, 96.6), piece(2, 96.6)]).words,
  ).toBe('bridge mic: piece 3 is gone')
  expect(
    bridge(
      [piece(1, 96.6), piece(2, 90)],
      [piece(1, 96.6), piece(2, 90, { polarity: 'inverted', verdict: 'unsure' })],
    ).words,
  ).toBe(
    'bridge mic: piece 2: its polarity has flipped: inverted now, normal before; piece 2: unsure now, sure before',
  )
})

test('one file has no pieces to compare', () => {
  const plain = structuredClone(take([piece(1, 96.6)]))
  expect(Reflect.deleteProperty(plain.groups['bass']!.sources['bridge']!, 'pieces')).toBe(true)
  expect(compareTakes(plain, plain).groups[0]!.sources[0]).not.toHaveProperty('pieces')
})
