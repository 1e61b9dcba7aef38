import { describe, expect, test } from 'vitest'
import {
  addBlocks,
  heardBands,
  isBleeding,
  keptShared,
  lostDb,
  pairLossDb,
} from '../../src/tone/neighbours/find-losses.js'
import type { NeighbourBlock, NeighbourEnergies } from '../../src/tone/neighbours/neighbour-sums.js'
import { soundingMoments } from '../../src/tone/notes/sounding-moments.js'
import { tonalLines } from '../../src/tone/notes/tonal-lines.js'
import { addPowers, blendPower } from '../../src/tone/predict/blend-power.js'
import { energyAround, hzOfPoint } from '../../src/tone/predict/curve.js'
import { evennessDb } from '../../src/tone/predict/evenness.js'
import { firstNotchHz } from '../../src/tone/predict/first-notch.js'
import { lossDb } from '../../src/tone/predict/loss.js'
import { unbiasedCoherence } from '../../src/tone/predict/shared-sound.js'
import { standingNotchHz } from '../../src/tone/predict/standing-notch.js'
import { broadbandChangeDb, wideBandChanges } from '../../src/tone/predict/wide-bands.js'
import { binsAt, coherentSpectra, flat, late } from './setting/spectra.js'

/* Values at and just beside a limit, worked out by hand: a limit that moved would show here (found by `npm run mutants`). */

describe('loss', () => {
  test('is 0 where nothing is lost or more is there, 60 at the deepest, none in silence', () => {
    expect([lossDb(1, 1), lossDb(2, 1), lossDb(0, 1), lossDb(-1, 1)]).toEqual([0, 0, 60, 60])
    expect([lossDb(0, 0), lossDb(1, 0), lossDb(1, -1)]).toEqual([null, null, null])
    expect(lossDb(1, 2)).toBeCloseTo(3.0103, 4)
  })
})

describe('coherence less chance', () => {
  test('solves c + (1 - c)² / K = measured', () => {
    for (const [c, frames] of [
      [0.5, 10],
      [0.9, 8],
      [0.1, 100],
    ] as const)
      expect(unbiasedCoherence(c + (1 - c) ** 2 / frames, frames)).toBeCloseTo(c, 12)
    expect(unbiasedCoherence(0.1, 10)).toBe(0)
    expect(unbiasedCoherence(0.05, 10)).toBe(0)
    expect(unbiasedCoherence(1, 10)).toBe(1)
    expect(unbiasedCoherence(1.5, 10)).toBe(1)
    expect(unbiasedCoherence(0.3, Number.POSITIVE_INFINITY)).toBe(0.3)
  })
})

describe('a sum of parts', () => {
  const bins = binsAt([100, 250, 1000])
  const spectra = coherentSpectra(bins, [flat, flat])
  const at = (laterSeconds: number, echoSeconds?: number) =>
    blendPower(
      [
        { signal: 0, gain: 2, laterSeconds: 0 },
        { signal: 1, gain: -1, laterSeconds },
      ],
      spectra,
      echoSeconds,
    )

  test('beyond the echo powers add; up to it phases do', () => {
    expect([...at(0.05, 0.05).power]).toEqual([1, 9, 1].map(v => expect.closeTo(v, 9) as number))
    expect([...at(0.0501, 0.05).power]).toEqual([5, 5, 5])
    expect([...at(-0.0501, 0.05).power]).toEqual([5, 5, 5])
    expect([...at(0.05, 0.05).inPhase]).toEqual([9, 9, 9])
  })

  test('channels add as powers, and there is at least one', () => {
    const once = at(0)
    expect([...addPowers([once, once, once]).power]).toEqual([3, 3, 3])
    expect([...addPowers([once, once]).inPhase]).toEqual([18, 18, 18])
    expect([...once.power]).toEqual([1, 1, 1])
    expect(() => addPowers([])).toThrow('at least one channel')
  })

  test('what a pair does not hold shares nothing', () => {
    const { power } = blendPower([{ signal: 1, gain: 3, laterSeconds: 0 }], spectra)
    expect([...power]).toEqual([9, 9, 9])
  })
})

describe('energy around a point of the curve', () => {
  test('a triangle in the logarithm: 1 in the middle, a half half-way, 0 at the reach', () => {
    const hz = [hzOfPoint(-1), hzOfPoint(-0.5), 440, hzOfPoint(0.25), hzOfPoint(1), hzOfPoint(1.5)]
    const one = (k: number) => Float64Array.from(hz, (_, i) => (i === k ? 1 : 0))
    const weights = hz.map((_, k) => energyAround(one(k), binsAt(hz, 2), 0, 1))
    expect(weights).toEqual([0, 1, 2, 1.5, 0, 0].map(v => expect.closeTo(v, 9) as number))
    expect(energyAround(one(4), binsAt(hz, 2), 0, 2)).toBeCloseTo(1, 9)
  })
})

describe('evenness', () => {
  test('is a deviation weighted by energy, whatever the shares sum to', () => {
    const notes = [
      { energyShare: 3, lossDb: 1 },
      { energyShare: 1, lossDb: 5 },
      { energyShare: 9, lossDb: null },
    ]
    // mean 2, variance (3 · 1 + 1 · 9) / 4 = 3
    expect(evennessDb(notes)).toBeCloseTo(Math.sqrt(3), 12)
    expect(evennessDb([{ energyShare: 0, lossDb: 1 }])).toBeNull()
    expect(evennessDb([])).toBeNull()
  })
})

describe('the first notch', () => {
  const bins = binsAt(
    Array.from({ length: 16000 }, (_, k) => 20 + 0.5 * k),
    0.5,
  )
  const notchOf = (seconds: number, gain: number, energy: (hz: number) => number) => {
    const spectra = coherentSpectra(bins, [flat, late(seconds)], energy)
    const parts = [
      { signal: 0, gain: 1, laterSeconds: 0 },
      { signal: 1, gain, laterSeconds: 0 },
    ]
    return firstNotchHz(blendPower(parts, spectra), bins, 48000)
  }

  test.each([6, 12])('stays in its place under a sound that falls by %d dB per octave', dbPerOctave => {
    const energy = (hz: number): number => (hz / 250) ** -(dbPerOctave / 3.0103)
    const found = notchOf(0.002, 0.9, energy)
    expect(Math.abs(found! / 250 - 1)).toBeLessThan(0.01)
  })

  test('of a level sound is exact to a two-thousandth', () => {
    for (const [seconds, hz] of [
      [0.002, 250],
      [0.0019, 263.158],
      [0.0007, 714.286],
    ] as const)
      expect(Math.abs(notchOf(seconds, 0.9, () => 1)! / hz - 1)).toBeLessThan(5e-4)
  })

  test('near the top of the curve is one, where the loss falls again above it', () => {
    const wide = binsAt(
      Array.from({ length: 24000 }, (_, k) => k + 0.5),
      1,
    )
    for (const hz of [17000, 19000]) {
      const spectra = coherentSpectra(wide, [flat, late(1 / (2 * hz))])
      const both = [0, 1].map(signal => ({ signal, gain: 1, laterSeconds: 0 }))
      const found = firstNotchHz(blendPower(both, spectra), wide, 48000)
      expect(Math.abs(found! / hz - 1)).toBeLessThan(1e-3)
    }
  })

  test('of a stretch that is gone altogether lies within it', () => {
    const gone = {
      power: Float64Array.from(bins.frequenciesHz, hz => (hz > 215 && hz < 290 ? 0 : 1)),
      inPhase: new Float64Array(bins.frequenciesHz.length).fill(1),
    }
    const found = firstNotchHz(gone, bins, 48000)
    expect(found).toBeGreaterThan(215)
    expect(found).toBeLessThan(290)
  })

  test('where nothing was played there is none', () => {
    const gap = (hz: number): number => (hz > 150 && hz < 400 ? 1e-9 : 1)
    const found = notchOf(0.002, 0.9, gap)
    expect(found).not.toBeNull()
    expect(Math.abs(found! / 750 - 1)).toBeLessThan(0.01)
  })
})

describe('a notch stands', () => {
  const frequencies = [50, 100, 200, 300]
  test('where anything below it is lost by less than 3 dB, or nothing was played there', () => {
    expect(standingNotchHz(200, frequencies, [9, 2.9, 20, 0])).toBe(200)
    expect(standingNotchHz(200, frequencies, [9, 3, 20, 0])).toBeNull()
    expect(standingNotchHz(200, frequencies, [null, null, 20, 0])).toBe(200)
    expect(standingNotchHz(50, frequencies, [20, 9, 9, 9])).toBe(50)
    expect(standingNotchHz(null, frequencies, [0, 0, 0, 0])).toBeNull()
  })
})

describe('wide bands', () => {
  const hz = [0, 25, 59.9, 60, 250, 800, 2500, 6000, 16000]
  const bins = binsAt(hz, 2)
  const ones = new Float64Array(hz.length).fill(1)

  test('begin at their lower edge and end before their upper one', () => {
    const after = Float64Array.from(hz, (_, k) => 2 ** k)
    const changes = wideBandChanges(ones, after, bins).map(({ changeDb }) => 10 ** (changeDb! / 10))
    // sub: 25 and 59.9; each other band its lower edge; 0 Hz and 16 kHz in none
    expect(changes).toEqual([(2 + 4) / 2, 8, 16, 32, 64, 128].map(v => expect.closeTo(v, 9) as number))
    expect(broadbandChangeDb(ones, after, bins)).toBeCloseTo(10 * Math.log10(511 / 9), 9)
  })

  test('say nothing 40 dB under the whole, nor beyond half the rate', () => {
    const quiet = (share: number): Float64Array =>
      Float64Array.from(hz, (_, k) => (k === 3 ? share : k === 7 ? 1 : 0))
    const lowEnd = (before: Float64Array, after: Float64Array) =>
      wideBandChanges(before, after, bins).find(({ name }) => name === 'low end')?.changeDb
    expect(lowEnd(quiet(2e-4), quiet(1.1e-4))).toBeCloseTo(10 * Math.log10(0.55), 9)
    expect(lowEnd(quiet(1.1e-4), quiet(0.5e-4))).not.toBeNull() // was there before
    expect(lowEnd(quiet(0.9e-4), quiet(0.9e-4))).toBeNull()
    const short = binsAt([100, 700], 1)
    expect(wideBandChanges(ones, ones, short).map(({ name }) => name)).toEqual(['sub', 'low end', 'low mids'])
    expect(broadbandChangeDb(new Float64Array(2), ones, short)).toBeNull()
  })
})

describe('when a note sounds', () => {
  test('within 20 dB of its loudest, in order, to a hundredth', () => {
    const moments = [
      { midi: 40, atSeconds: 3.456, energy: 1 },
      { midi: 40, atSeconds: 1.234, energy: 0.01 },
      { midi: 40, atSeconds: 2, energy: 0.0099 },
      { midi: 41, atSeconds: 0.5, energy: 9 },
    ]
    expect(soundingMoments(40, moments)).toEqual([1.23, 3.46])
    expect(soundingMoments(42, moments)).toEqual([])
  })
})

describe('narrow lines of a frame', () => {
  // One bin is 10 Hz; a floor of 1, lines of a lobe of seven bins.
  const frame = (lines: readonly (readonly [bin: number, height: number])[]): Float64Array => {
    const power = new Float64Array(1025).fill(1)
    for (const [bin, height] of lines)
      for (let d = -3; d <= 3; d++) power[bin + d] = Math.max(power[bin + d]!, height * 4 ** -Math.abs(d))
    return power
  }
  const places = (power: Float64Array, upToHz = 10_000) =>
    tonalLines(power, 10, upToHz).map(({ frequencyHz }) => Math.round(frequencyHz))

  test('stand over eight times the median around, within 50 dB of the strongest, the strongest first', () => {
    expect(
      places(
        frame([
          [100, 50],
          [200, 500],
          [300, 7.9],
        ]),
      ),
    ).toEqual([2000, 1000])
    expect(
      places(
        frame([
          [100, 50],
          [200, 1e7],
        ]),
      ),
    ).toEqual([2000])
  })

  test('lie between the bins where the lobe does, and hold the energy of the lobe', () => {
    const power = frame([[100, 1000]])
    power[101] = 900
    const [line] = tonalLines(power, 10, 10_000)
    // parabola through ln 250, ln 1000, ln 900
    const [a, b, c] = [Math.log(250), Math.log(1000), Math.log(900)]
    expect(line?.frequencyHz).toBeCloseTo(1000 + (5 * (a - c)) / (a - 2 * b + c), 9)
    expect(line?.energy).toBeCloseTo(15.625 + 62.5 + 250 + 1000 + 900 + 62.5 + 15.625, 9)
  })

  test('not under 25 Hz, nor up to the end of what is looked at', () => {
    const low = frame([[3, 1000]])
    expect(tonalLines(low, 10, 10_000)).toHaveLength(1)
    expect(tonalLines(low, 8, 10_000)).toHaveLength(0)
    expect(places(frame([[500, 1000]]), 5040)).toEqual([5000])
    expect(places(frame([[500, 1000]]), 5030)).toEqual([])
  })

  test('stand over the median of their own stretch of 64 bins, not of the next', () => {
    const power = frame([
      [100, 50],
      [150, 500],
    ])
    for (let k = 128; k < 192; k++) power[k] = power[k]! + 100
    expect(places(power)).toEqual([1000])
  })

  test('are not looked for where the lobe would reach beyond the spectrum', () => {
    const power = frame([
      [100, 50],
      [1021, 60],
    ])
    expect(places(power, 99_999)).toEqual([1000])
  })

  test('of two equal bins side by side one is the line', () => {
    const power = frame([[100, 1000]])
    power[101] = 1000
    expect(tonalLines(power, 10, 10_000)).toHaveLength(1)
  })
})

describe('what two groups take from each other', () => {
  const energies = (own: readonly (readonly number[])[], shared: readonly number[]): NeighbourEnergies => ({
    own: own.map(values => Float64Array.from(values)),
    shared: [Float64Array.from(shared)],
  })
  const pair = [0, 1] as const

  test('is told against what they would share had only their levels changed', () => {
    const before = energies([[4], [1]], [1])
    const after = energies([[16], [1]], [0.5])
    expect(keptShared(before, after, 0, pair, 0)).toBeCloseTo(2, 12)
    // 17 + 4 against 17 + 1
    expect(pairLossDb(before, after, 0, pair, 0)).toBeCloseTo(10 * Math.log10(21 / 18), 9)
    expect(keptShared(energies([[0], [1]], [1]), after, 0, pair, 0)).toBe(0)
    expect([lostDb(1, 0), lostDb(0, 1), lostDb(10, 1)]).toEqual([
      expect.closeTo(60, 9),
      null,
      expect.closeTo(10, 9),
    ])
  })

  test('counts within 40 dB of the loudest band of all groups together', () => {
    expect(
      heardBands(
        energies(
          [
            [1, 0.5e-4, 0.4e-4, 0],
            [0, 0.5e-4, 0.4e-4, 0],
          ],
          [0, 0, 0, 0],
        ),
      ),
    ).toEqual([true, true, false, false])
  })

  test('adds block by block, and leaves the blocks as they are', () => {
    const block = (value: number): NeighbourBlock => {
      const one = energies([[value], [2 * value]], [3 * value])
      return { before: one, after: one }
    }
    const blocks = [block(1), block(10), block(100)]
    const total = addBlocks(blocks, 'after')
    expect([total.own[0]![0], total.own[1]![0], total.shared[0]![0]]).toEqual([111, 222, 333])
    expect(blocks[0]!.after.own[0]![0]).toBe(1)
  })

  test('is no chance where it goes the same way in four blocks at least, four errors clear', () => {
    const block = (missing: number): NeighbourBlock => ({
      before: energies([[1], [1]], [0.5]),
      after: energies([[1], [1]], [0.5 - missing]),
    })
    const silent = { before: energies([[1], [1]], [0.5]), after: energies([[1], [0]], [0]) } as NeighbourBlock
    const told = (...missing: number[]) => isBleeding(missing.map(block), 0, pair, 0)
    expect(told(0.1, 0.1, 0.1, 0.1)).toBe(true)
    expect(told(0.1, 0.1, 0.1)).toBe(false)
    expect(isBleeding([...[0.1, 0.1, 0.1].map(block), silent], 0, pair, 0)).toBe(false)
    expect(told(-0.1, -0.1, -0.1, -0.1)).toBe(false)
    expect(told(0, 0, 0, 0)).toBe(false)
    // mean 0.1, deviation d either way: error d / √3, four of them are 0.1 at d = 0.0433
    expect(told(0.143, 0.057, 0.143, 0.057)).toBe(true)
    expect(told(0.144, 0.056, 0.144, 0.056)).toBe(false)
  })
})
