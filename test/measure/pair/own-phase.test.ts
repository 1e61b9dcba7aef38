import { describe, expect, test } from 'vitest'
import type { CommonSound } from '../../../src/measure/pair/common-sound.js'
import { ownPhase } from '../../../src/measure/pair/own-phase.js'
import { gaussian, random } from '../../corpus/random.js'

/* Groups of bins with phases that are a formula: a delay, the noise that q and K say, and what the path scatters by itself. */

const SIZE = 2048
const BINS = SIZE / 2 + 1
const HALF = 2
const DEGREES = 50

interface Groups {
  readonly seed: string
  /** Radians rms. */
  readonly own: number
  readonly quality: (group: number) => number
  readonly lag?: number
  /** Groups with any phase whatever. */
  readonly chance?: readonly number[]
  readonly groups?: number
  /** Groups without any coherence of their own. */
  readonly silent?: readonly number[]
  readonly sign?: 1 | -1
}

const soundOf = ({
  seed,
  own,
  quality,
  lag = 0,
  chance = [],
  silent = [],
  groups = 60,
  sign = 1,
}: Groups) => {
  const normal = gaussian(seed)
  const uniform = random(`chance ${seed}`)
  const smooth = new Float64Array(2 * BINS)
  const qualities = new Float64Array(BINS)
  const gammaSquared = new Float64Array(BINS)
  for (let group = 0; group < groups; group++) {
    const k = 1 + group * (2 * HALF + 1)
    const q = quality(group)
    const noise = Math.sqrt(1 / (2 * DEGREES * q)) * normal()
    const angle = chance.includes(group)
      ? 2 * Math.PI * uniform()
      : noise + own * normal() - (2 * Math.PI * k * lag) / SIZE
    smooth[2 * k] = sign * Math.cos(angle)
    smooth[2 * k + 1] = sign * Math.sin(angle)
    qualities[k] = q
    gammaSquared[k] = silent.includes(group) ? 0 : q / (1 + q)
  }
  const sound = {
    ...{ cross: smooth, smooth, level: smooth, gammaSquared, aroundLag: 0 },
    degrees: new Float64Array(BINS).fill(DEGREES),
    half: new Int32Array(BINS).fill(HALF),
  } satisfies CommonSound
  return (around = 0): number => ownPhase(sound, qualities, around, sign, SIZE)
}

describe('what a path adds to the phases beside a pure delay', () => {
  test.each([0.1, 0.3, 0.6])('is found: %d rad rms, from either sign', own => {
    let sum = 0
    const trials = 20
    for (let trial = 0; trial < trials; trial++) {
      const sign = trial % 2 === 0 ? 1 : -1
      sum += soundOf({ seed: `own ${own} ${trial}`, own, quality: () => 5, sign })() ** 2
    }
    // 1,200 groups tell a variance to 4 %; two standard errors of pure noise (variance 0.002) are taken off.
    expect(Math.abs(sum / trials / own ** 2 - 1)).toBeLessThan(0.2)
  })

  test('is nothing where noise explains the phases, whatever delay is left in them', () => {
    let told = 0
    for (let trial = 0; trial < 60; trial++) {
      const lag = (trial % 7) - 3
      if (soundOf({ seed: `none ${trial}`, own: 0, quality: () => 5, lag })() > 0) told++
    }
    // Twice the logarithm of the likelihood gains 6 by chance in one of a hundred and forty (half of χ², one degree).
    expect(told).toBeLessThanOrEqual(3)
  })

  test('is not told by groups that only look like their surroundings, but share nothing themselves', () => {
    for (let trial = 0; trial < 20; trial++) {
      const groups = { seed: `edge ${trial}`, own: 0, quality: () => 5, chance: [55, 56, 57, 58, 59] }
      expect(soundOf({ ...groups, silent: groups.chance })()).toBe(0)
    }
  })

  test('is not decided by a few groups that are common by chance', () => {
    // The plain mean of the squares is 3 × 3.3 / 60 rad², that is 0.4 rad.
    for (let trial = 0; trial < 20; trial++) {
      const quality = (group: number): number => (group >= 57 ? 0.05 : 40)
      const found = soundOf({ seed: `few ${trial}`, own: 0.05, quality, chance: [57, 58, 59] })()
      expect(Math.abs(found - 0.05)).toBeLessThan(0.03)
    }
  })

  test('is nothing where there is too little to tell it from', () => {
    expect(soundOf({ seed: 'three', own: 0.5, quality: () => 5, groups: 3 })()).toBe(0)
    expect(soundOf({ seed: 'four', own: 0.5, quality: () => 5, groups: 4 })()).toBeGreaterThan(0)
    // Phases with a variance of 0.33 are anything.
    expect(soundOf({ seed: 'faint', own: 0.5, quality: () => 0.03 })()).toBe(0)
  })
})
