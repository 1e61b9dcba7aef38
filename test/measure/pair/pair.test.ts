import { describe, expect, test } from 'vitest'
import { Fullness } from '../../../src/measure/pair/fullness.js'
import { LagObjective } from '../../../src/measure/pair/lag-objective.js'
import { jackknifeError, lagsWithoutFolds } from '../../../src/measure/pair/leave-out.js'
import type { PairSums } from '../../../src/measure/pair/pair-sums.js'
import { independentFrames } from '../../../src/measure/pair/pair-sums.js'
import { searchLags } from '../../../src/measure/pair/search.js'
import { turnedBy } from '../../../src/measure/pair/turn.js'
import { gaussian, random } from '../../corpus/random.js'
import { highPass, multiply, type Response, reflections, ventedBox } from '../../corpus/responses.js'

const SIZE = 8192
const RATE = 48000

/** Sums as K frames of noise through a response would give them: exact phases, independent values per bin. */
const sumsThrough = (response: Response, seed: string, frames = 40): PairSums => {
  const next = gaussian(seed)
  const bins = SIZE / 2 + 1
  const sums = {
    sampleRateHz: RATE,
    fftSize: SIZE,
    windowLength: SIZE,
    first: new Float64Array(bins),
    second: new Float64Array(bins),
    cross: new Float64Array(2 * bins),
    independent: [frames, frames, frames],
    seconds: (frames * SIZE) / RATE / 2,
  }
  for (let k = 1; k < bins - 1; k++) {
    const f = (k * RATE) / SIZE
    const [re, im] = response(f)
    const tilt = 1 / (1 + f / 400)
    for (let frame = 0; frame < frames; frame++) {
      const [a, b, c, d] = [next() * tilt, next() * tilt, 0.02 * next() * tilt, 0.02 * next() * tilt]
      const yRe = a * re - b * im + c
      const yIm = a * im + b * re + d
      sums.first[k] = sums.first[k]! + a * a + b * b
      sums.second[k] = sums.second[k]! + yRe * yRe + yIm * yIm
      sums.cross[2 * k] = sums.cross[2 * k]! + a * yRe + b * yIm
      sums.cross[2 * k + 1] = sums.cross[2 * k + 1]! + a * yIm - b * yRe
    }
  }
  return sums
}

const late =
  (frames: number): Response =>
  f => [Math.cos((2 * Math.PI * f * frames) / RATE), -Math.sin((2 * Math.PI * f * frames) / RATE)]

describe('signs', () => {
  test('lag 3 at 1 kHz is a phase of -22.5 degrees, and turning by the lag takes it away', () => {
    const k = Math.round((1000 * SIZE) / RATE)
    const cross = new Float64Array(SIZE + 2)
    const angle = (-2 * Math.PI * k * 3) / SIZE
    cross[2 * k] = Math.cos(angle)
    cross[2 * k + 1] = Math.sin(angle)
    expect((angle * 180) / Math.PI).toBeCloseTo(-22.5, 0)
    const turned = turnedBy(cross, 3, SIZE)
    expect(turned[2 * k]).toBeCloseTo(1, 12)
    expect(turned[2 * k + 1]).toBeCloseTo(0, 12)
  })

  test('a late second trace has a positive lag, either polarity, anywhere in the search', () => {
    let checked = 0
    for (const lag of [-1850.25, -7.5, 0, 95.31, 1200.7])
      for (const sign of [1, -1]) {
        const sums = sumsThrough(
          multiply(late(lag), () => [sign, 0]),
          `${lag} ${sign}`,
        )
        const [best] = searchLags(sums, 1920).peaks
        expect(best!.sign).toBe(sign)
        expect(Math.abs(best!.lagSamples - lag)).toBeLessThanOrEqual(0.5)
        checked++
      }
    expect(checked).toBe(10)
  })
})

describe('the objective', () => {
  const weighted = new Float64Array(SIZE + 2)
  const next = gaussian('objective')
  for (let k = 40; k < 3000; k += 3) {
    weighted[2 * k] = next()
    weighted[2 * k + 1] = next()
  }
  const objective = new LagObjective(weighted, SIZE)

  test('is the plain sum at any lag', () => {
    for (const lag of [-300.77, 0, 0.4999, 17.25]) {
      let sum = 0
      for (let k = 0; k <= SIZE / 2; k++) {
        const angle = (2 * Math.PI * k * lag) / SIZE
        sum += weighted[2 * k]! * Math.cos(angle) - weighted[2 * k + 1]! * Math.sin(angle)
      }
      expect(objective.at(lag).value).toBeCloseTo(sum, 9)
    }
  })

  test('has the derivatives it tells', () => {
    const h = 1e-4
    const at = (x: number) => objective.at(x)
    expect(at(5.3).slope).toBeCloseTo((at(5.3 + h).value - at(5.3 - h).value) / (2 * h), 4)
    expect(at(5.3).curvature).toBeCloseTo((at(5.3 + h).slope - at(5.3 - h).slope) / (2 * h), 4)
  })

  // Plain Newton from a whole frame diverges beyond an offset of 0.4856 on a white peak (computed on the sinc).
  test('finds the top of a white peak from any offset within the bracket', () => {
    const offsets = Array.from({ length: 41 }, (_, i) => -0.5 + i / 40)
    for (const offset of offsets) {
      const white = new Float64Array(SIZE + 2)
      for (let k = 1; k < SIZE / 2; k++) {
        white[2 * k] = Math.cos((-2 * Math.PI * k * offset) / SIZE)
        white[2 * k + 1] = Math.sin((-2 * Math.PI * k * offset) / SIZE)
      }
      expect(new LagObjective(white, SIZE).top(-0.75, 0.75, 1)).toBeCloseTo(offset, 8)
    }
    expect(offsets).toHaveLength(41)
  })
})

describe('fullness', () => {
  // Our best must be within 0.05 dB of a brute-force grid over all lags and both signs.
  const u = random('fullness')
  const cases: [string, Response][] = Array.from({ length: 6 }, (_, i) => {
    const lag = 200 * (u() - 0.5)
    const box = i % 2 === 0 ? ventedBox(40 + 80 * u()) : highPass(60 + 100 * u())
    const echo = reflections([{ seconds: 0.001 + 0.004 * u(), factor: 0.7 * u() }])
    return [`case ${i}`, multiply(box, echo, late(lag), () => [i % 3 === 0 ? -1 : 1, 0])]
  })
  test.each(cases)('%s: within 0.05 dB of the brute-force best', (name, response) => {
    const sums = sumsThrough(response, name)
    const fullness = new Fullness(sums)
    const [best] = fullness.best(-300, 300, 3)
    let least = Number.POSITIVE_INFINITY
    let looked = 0
    for (let lag = -300; lag <= 300; lag += 0.25)
      for (const sign of [1, -1] as const) {
        least = Math.min(least, fullness.lossDb(lag, sign))
        looked++
      }
    expect(looked).toBe(4802)
    expect(best!.lossDb).toBeLessThanOrEqual(least + 0.05)
    expect(best!.lossDb).toBeCloseTo(fullness.lossDb(best!.lagSamples, best!.sign), 6)
    expect(best!.lossDb).toBeGreaterThanOrEqual(0)
  })

  test('a plain delay is fullest at its lag and loses nothing there', () => {
    const [best] = new Fullness(sumsThrough(late(41.3), 'plain')).best(-300, 300, 3)
    expect(best!.lagSamples).toBeCloseTo(41.3, 1)
    expect(best!.sign).toBe(1)
    expect(best!.lossDb).toBeLessThan(0.01)
  })
})

describe('errors', () => {
  // Lags 95.2, 95.4, 95.3, 95.5 of four parts: mean 95.35, standard error 0.0645497 (computed).
  test('leave one part out', () => {
    const lags = [95.2, 95.4, 95.3, 95.5]
    const without = lags.map(left => (lags.reduce((s, l) => s + l, 0) - left) / 3)
    expect(jackknifeError(without)).toBeCloseTo(0.0645497, 7)
    expect(jackknifeError([1])).toBeNaN()
  })

  test('one Newton step without a part is the exact answer for parabolas', () => {
    // Parts -0.5 c (x - m)^2: slope at the whole's top and curvature.
    const parts = [
      { c: 2, m: 1 },
      { c: 1, m: 4 },
      { c: 3, m: 0 },
    ]
    const whole = (2 * 1 + 1 * 4 + 3 * 0) / 6
    const pulls = parts.map(({ c, m }) => ({ slope: -c * (whole - m), curvature: -c, value: 1 }))
    const without = lagsWithoutFolds(whole, pulls)
    expect(without[0]).toBeCloseTo(4 / 4, 12)
    expect(without[1]).toBeCloseTo(2 / 5, 12)
    expect(without[2]).toBeCloseTo(6 / 3, 12)
  })

  test('frames of unequal energy count for fewer', () => {
    expect(independentFrames(Float64Array.from([10, 10]), 1)[0]).toBeCloseTo(10, 12)
    // One loud frame (10) and ten faint ones (0.1): 11^2 / 100.1.
    expect(independentFrames(Float64Array.from([11, 100.1]), 1)[0]).toBeCloseTo(121 / 100.1, 12)
    expect(independentFrames(Float64Array.from([0, 0]), 0.7)[0]).toBe(1)
  })
})
