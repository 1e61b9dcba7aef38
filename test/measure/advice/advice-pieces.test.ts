import { describe, expect, test } from 'vitest'
import { type AdviceQuestion, adviceFor } from '../../../src/measure/advice/advice.js'
import { noteName, playedTones } from '../../../src/measure/advice/played-tones.js'
import { highestShared, type SharedSound, toleranceCelsius } from '../../../src/measure/advice/shared-band.js'

/* Advice from spectra that are formulas, with what follows from them worked out apart. */

const RATE = 48000
const SIZE = 8192
const BIN_HZ = RATE / SIZE
const SPEED = 343.2146 // m/s at 20 C

const soundOf = (size: (hz: number) => number, gammaSquared = 1): SharedSound => {
  const bins = SIZE / 2 + 1
  const level = Float64Array.from({ length: bins }, (_, k) => size(k * BIN_HZ))
  const cross = new Float64Array(2 * bins)
  // Phases as they fall: only sizes count.
  level.forEach((value, k) => {
    cross[2 * k] = value * Math.cos(k)
    cross[2 * k + 1] = value * Math.sin(k)
  })
  return { cross, level, gammaSquared: level.map(value => (value > 0 ? gammaSquared : 0)) }
}
const line = (hz: number, at: number, power: number): number => power * Math.exp(-(((hz - at) / 7) ** 2))

describe('tones that were played', () => {
  const found = (size: (hz: number) => number) => playedTones(soundOf(size), RATE)

  test('lie between the bins, from 38 Hz to 2 kHz, at most three, the strongest first', () => {
    const tones = found(
      hz =>
        1e-4 +
        [25, 73.3, 150.2, 331.7, 1990, 2100].reduce((sum, at, i) => sum + line(hz, at, 1 - 0.1 * i), 0),
    )
    expect(tones).toHaveLength(3)
    tones.forEach((hz, i) => {
      // A Gaussian is a parabola in the logarithm; the floor bends it by a thousandth of a bin.
      expect(Math.abs(hz - [73.3, 150.2, 331.7][i]!)).toBeLessThan(0.05)
    })
    expect(found(hz => 1e-4 + line(hz, 1990, 1) + line(hz, 2100, 1)).map(Math.round)).toEqual([1990])
  })

  test('are within 15 dB of the strongest, and four times the middle of what lies around them', () => {
    const two = (power: number) => found(hz => 1e-4 + line(hz, 100, 10) + line(hz, 400, power)).length
    expect([two(0.32), two(0.28)]).toEqual([2, 1])
    const over = (power: number) => found(hz => 1 + line(hz, 93.75, power)).length
    expect([over(3.1), over(2.9)]).toEqual([1, 0])
  })
})

test('notes have their names, all twelve, from octave to octave at C', () => {
  const names = Array.from({ length: 13 }, (_, i) => noteName(440 * 2 ** ((i - 9) / 12)))
  expect(names).toEqual('C4 C♯4 D4 D♯4 E4 F4 F♯4 G4 G♯4 A4 A♯4 B4 C5'.split(' '))
  expect([noteName(41.2), noteName(30.9), noteName(16.35), noteName(15.4)]).toEqual(['E1', 'B0', 'C0', 'B-1'])
})

describe('the band that is shared', () => {
  test('ends with the last third octave that holds a hundredth of what the strongest holds', () => {
    // One line at 50·2^(1/6) Hz and one at 50·2^(13/6): bands 0 and 6.
    const two = (power: number) =>
      highestShared(
        soundOf(hz => (Math.abs(hz - 56) < 3 ? 1 : Math.abs(hz - 226) < 3 ? power : 0)),
        RATE,
      )
    expect(two(0.011)).toBeCloseTo(50 * 2 ** (7 / 3), 6)
    expect(two(0.009)).toBeCloseTo(50 * 2 ** (1 / 3), 6)
    expect(
      highestShared(
        soundOf(hz => (hz > 60 ? 0 : 0)),
        RATE,
      ),
    ).toBeNull()
    // Sound counts by how coherent it is, all alike here.
    expect(
      highestShared(
        soundOf(hz => (hz < 3000 ? 1 : 0), 0.3),
        RATE,
      ),
    ).toBeCloseTo(3200, 6)
  })

  test('a warmer room: 0.17 % a degree, told up to 15 degrees', () => {
    // speed = 331.3 sqrt(1 + T / 273.15): one degree on 20 is sqrt(294.15 / 293.15).
    const perDegree = Math.sqrt(294.15 / 293.15) - 1
    expect(toleranceCelsius(0.01, 2, 20)).toBeCloseTo(0.01 / (2 * perDegree), 2)
    expect(toleranceCelsius(0.01, -2, 20)).toBeCloseTo(0.01 / (2 * perDegree), 2)
    expect(toleranceCelsius(0.01, 0.3, 20)).toBeNull()
    expect(toleranceCelsius(0.01, 0, 20)).toBeNull()
  })
})

describe('what could be better at the next take', () => {
  const sound = soundOf(hz => (hz < 3000 ? 1e-2 : 0) + line(hz, 110, 1e3))
  const question = (
    more: Omit<Partial<AdviceQuestion>, 'judged'> & { readonly judged?: object | null } = {},
    via: readonly [string, string] = ['mic', 'mic'],
  ): AdviceQuestion =>
    ({
      track: {
        source: { name: 'b', distanceMetres: null },
        file: { via: via[1] },
        fromGroup: null,
        scan: { silent: false },
      },
      reference: { source: { name: 'a' }, file: { via: via[0] }, scan: { silent: false } },
      sampleRateHz: RATE,
      temperatureCelsius: 20,
      ...more,
      judged:
        more.judged === null
          ? null
          : {
              lagSamples: 100,
              polarity: 'normal',
              lagVerdict: 'sure',
              polarityVerdict: 'sure',
              best: { estimate: { arrival: { sound } } },
              ...more.judged,
            },
    }) as unknown as AdviceQuestion

  test('of two microphones: by how far one is moved, and what each tone loses as recorded', () => {
    const advice = adviceFor(question())!
    expect(advice.moveMetres).toBeCloseTo((-100 / RATE) * SPEED, 5)
    // The tone outshines all else by more than a hundred to one: the top of its own third octave.
    expect(advice.toleranceHz).toBeCloseTo(50 * 2 ** (4 / 3), 6)
    const [tone] = advice.tones
    expect(tone?.note).toBe('A2')
    expect(Math.abs(tone!.frequencyHz - 110)).toBeLessThan(0.05)
    // 2.083 ms are 0.4583 half wavelengths of 110 Hz: two equal parts leave |cos| of half that turn.
    expect(tone!.halfWavelengths).toBeCloseTo((2 * 110 * 100) / RATE, 3)
    expect(tone!.lossDb).toBeCloseTo(-20 * Math.log10(Math.cos((Math.PI * 110 * 100) / RATE)), 2)
    expect(advice.toleranceMetres).toBeCloseTo(((53.938 / 360) * SPEED) / advice.toleranceHz!, 5)
    expect(advice.text).toMatch(
      /^move it 72 cm closer, or a back by that, and they arrive together; from take to take keep/,
    )
  })

  test('turned over it loses what the sine says', () => {
    const advice = adviceFor(question({ judged: { polarity: 'inverted' } }))!
    expect(advice.tones[0]!.lossDb).toBeCloseTo(-20 * Math.log10(Math.sin((Math.PI * 110 * 100) / RATE)), 2)
    expect(advice.text).toMatch(/^turn its polarity over at the preamp; /)
    const early = adviceFor(question({ judged: { lagSamples: -100 } }))!
    expect(early.moveMetres).toBeCloseTo((100 / RATE) * SPEED, 5)
    expect(early.tones[0]!.halfWavelengths).toBeGreaterThan(0)
    // In place nothing is lost, and turned over there all of it, but told as 60.
    const inPlace = (polarity: string) =>
      adviceFor(question({ judged: { lagSamples: 0, polarity } }))!.tones[0]!.lossDb
    expect([inPlace('normal'), inPlace('inverted')]).toEqual([0, 60])
  })

  test('is no move beyond a metre, nor of anything but two microphones', () => {
    const far = (lagSamples: number) => adviceFor(question({ judged: { lagSamples } }))!.moveMetres
    expect(far(139)).not.toBeNull()
    expect(far(140)).toBeNull()
    expect(far(-140)).toBeNull()
    expect(adviceFor(question({}, ['pickup', 'mic']))!.moveMetres).toBeNull()
    expect(adviceFor(question({}, ['mic', 'pickup']))!.moveMetres).toBeNull()
  })

  test('tells the room’s temperature, but not of a pass that was played back', () => {
    const late = { lagSamples: 4000 } // 28.6 m
    expect(adviceFor(question({ judged: late }))!.toleranceCelsius).not.toBeNull()
    expect(adviceFor(question({ judged: late }, ['mic', 'reamp']))!.toleranceCelsius).toBeNull()
    expect(adviceFor(question({ judged: late }, ['reamp', 'mic']))!.toleranceCelsius).toBeNull()
  })

  test('where it is not sure, a slate; for silence, a group and the reference nothing', () => {
    const slate = {
      text: 'play a slate once through all paths (sumwell slate) and let the recipe find it (align: slate: true)',
      moveMetres: null,
      toleranceMetres: null,
      toleranceCelsius: null,
      toleranceHz: null,
      tones: [],
    }
    expect(adviceFor(question({ judged: { lagVerdict: 'unsure' } }))).toEqual(slate)
    expect(adviceFor(question({ judged: { polarityVerdict: 'unknown' } }))).toEqual(slate)
    expect(adviceFor(question({ judged: { lagSamples: null } }))).toEqual(slate)
    expect(adviceFor(question({ judged: { best: null } }))).toEqual(slate)
    expect(adviceFor(question({ judged: null }))).toBeNull()
    const { track, reference } = question()
    expect(adviceFor(question({ track: { ...track, fromGroup: 'kick' } }))).toBeNull()
    expect(adviceFor(question({ track: { ...track, scan: { ...track.scan, silent: true } } }))).toBeNull()
    expect(
      adviceFor(question({ reference: { ...reference, scan: { ...reference.scan, silent: true } } })),
    ).toBeNull()
  })

  test('where nothing is shared there is nothing to keep to', () => {
    const none = soundOf(() => 0)
    const advice = adviceFor(question({ judged: { best: { estimate: { arrival: { sound: none } } } } }))!
    expect(advice).toMatchObject({
      toleranceMetres: null,
      toleranceCelsius: null,
      toleranceHz: null,
      tones: [],
    })
  })
})
