import { beforeAll, describe, expect, test } from 'vitest'
import type { PlannedStem, StemPart } from '../../src/decide/plan.js'
import { blendTone, type SeenGroup } from '../../src/tone/blend-tone.js'
import { PARTIALS } from '../../src/tone/notes/harmonic-series.js'
import { energyAround } from '../../src/tone/predict/curve.js'
import { toneBins } from '../../src/tone/predict/tone-bins.js'
import { spectralGrid } from '../../src/tone/spectra/resolution.js'
import type { BlendTone } from '../../src/tone/tone.js'
import type { BlendInView } from '../../src/tone/view-of-group.js'
import { coherentSpectra, flat, type Response } from './setting/spectra.js'

/**
 * The whole tone of a blend from spectra that are a formula: one sound in two signals, the second the wrong way round and a quarter of a frame
 * early where it lies in the view. So as recorded the blend is g (0.5 - 0.4 e^(-j 2 pi f d)) of the sound, d the distance as recorded, and as
 * delivered 0.9.
 */
const RATE = 8000
const bins = toneBins(spectralGrid(RATE))
const EARLY: Response = hz => {
  const turn = (2 * Math.PI * hz * 0.25) / RATE
  return [-Math.cos(turn), -Math.sin(turn)]
}
const spectra = coherentSpectra(bins, [flat, EARLY, flat])
const densityOf = (value: (hz: number) => number): Float64Array =>
  Float64Array.from(bins.frequenciesHz, value)

const notes = (energies: Readonly<Record<number, number>>): Float64Array => {
  const all = new Float64Array(128 * PARTIALS)
  for (const [midi, energy] of Object.entries(energies)) all[Number(midi) * PARTIALS] = energy
  return all
}

const seen = {
  view: { sampleRateHz: RATE },
  sums: {
    notes: notes({ 45: 3, 57: 1 }),
    heard: 8,
    moments: [
      { midi: 57, atSeconds: 2.004, energy: 1 },
      { midi: 45, atSeconds: 1.234, energy: 3 },
    ],
  },
  spectra,
  shared: spectra,
  loudness: densityOf(() => 1),
  asRecorded: [densityOf(() => 7), densityOf(() => 0.5)],
} as unknown as SeenGroup

const part = (key: string, more: Partial<StemPart>): StemPart => ({
  key: `group/${key}`,
  atSamples: 0,
  gain: 0.5,
  recordedAtSamples: 0,
  recordedGain: 0.5,
  weightShown: '',
  matchGainDb: 0,
  follow: null,
  ...more,
})

const FOLLOW = [{ atSeconds: 0, shiftSamples: 0 }]

/** Each part is the signal of its number, laid where it is delivered; `sides`: which parts each channel has. */
const blendOf = (
  parts: readonly StemPart[],
  more: { readonly asRecorded?: readonly number[]; readonly sides?: readonly (readonly number[])[] } = {},
): BlendInView => {
  const { asRecorded = null, sides = [[...parts.keys()]] } = more
  return {
    stem: { name: 'mix', group: 'group', parts } as unknown as PlannedStem,
    channels: sides.map(side =>
      side.map(signal => {
        const { atSamples, recordedAtSamples, follow } = parts[signal]!
        return { part: parts[signal]!, signal, placement: { atSamples, recordedAtSamples, follow } }
      }),
    ),
    asRecorded,
  }
}

const near = part('near', {})
const far = part('far', { atSamples: 10.25, gain: -0.4, recordedAtSamples: 50, recordedGain: 0.4 })
const APART = (50 - 10.25) / RATE

const before = densityOf(hz => 0.25 + 0.16 - 0.4 * Math.cos(2 * Math.PI * hz * APART))
const lost = (power: Float64Array, inPhase: Float64Array, hz: number): number => {
  const point = 24 * Math.log2(hz / 440)
  return 10 * Math.log10(energyAround(inPhase, bins, point, 1) / energyAround(power, bins, point, 1))
}

describe('a blend that is lined up and turned over', () => {
  let tone: BlendTone
  beforeAll(() => {
    tone = blendTone(seen, blendOf([near, far]))
  })

  test('loses as recorded what the comb takes, and nothing as delivered', () => {
    const inPhase = densityOf(() => 0.81)
    expect(tone.frequenciesHz.length).toBeGreaterThan(160)
    tone.frequenciesHz.forEach((hz, i) => {
      expect(tone.before.lossDb[i]).toBeCloseTo(lost(before, inPhase, hz), 6)
      expect(tone.after.lossDb[i]).toBeCloseTo(0, 6)
    })
    expect([tone.blend, tone.group, tone.check]).toEqual(['mix', 'group', null])
  })

  test('has a level against the loudest point of both curves', () => {
    const point = 24 * Math.log2(tone.frequenciesHz.at(-1)! / 440)
    const loudest = energyAround(
      densityOf(() => 0.81),
      bins,
      point,
      1,
    )
    tone.frequenciesHz.forEach((hz, i) => {
      const at = 24 * Math.log2(hz / 440)
      for (const [power, level] of [
        [before, tone.before.levelDb[i]],
        [densityOf(() => 0.81), tone.after.levelDb[i]],
      ] as const)
        expect(level).toBeCloseTo(10 * Math.log10(energyAround(power, bins, at, 1) / loudest), 6)
    })
  })

  test('its notch, and what is told of it', () => {
    // 0.5 - 0.4 e^(…) is least where the distance is a whole period.
    expect(Math.abs(tone.firstNotchBeforeHz! * APART - 1)).toBeLessThan(0.01)
    expect(tone.firstNotchAfterHz).toBeNull()
    expect(tone.words).toContain('first notch 201 Hz gone')
    // mean of 0.41 - 0.4 cos over many teeth against 0.81
    expect(tone.broadbandChangeDb).toBeCloseTo(10 * Math.log10(0.81 / 0.41), 1)
  })

  test('its notes: what each loses, how even they are, when they sound', () => {
    expect(tone.semitones.map(({ midi, soundsAtSeconds }) => [midi, soundsAtSeconds])).toEqual([
      [45, [1.23]],
      [57, [2]],
    ])
    const losses = [110, 220].map(hz => {
      const low = hz * 2 ** (-1 / 24)
      const high = hz * 2 ** (1 / 24)
      const steps = Array.from({ length: 1000 }, (_, i) => low + ((high - low) * (i + 0.5)) / 1000)
      const left = steps.map(f => 0.41 - 0.4 * Math.cos(2 * Math.PI * f * APART))
      return 10 * Math.log10(0.81 / (left.reduce((a, b) => a + b, 0) / 1000))
    })
    tone.semitones.forEach(({ lossBeforeDb, lossAfterDb, energyShare }, i) => {
      // Whole bins in or out of the semitone: one of 13 at 110 Hz.
      expect(Math.abs(lossBeforeDb! - losses[i]!)).toBeLessThan(0.15)
      expect(lossAfterDb).toBeCloseTo(0, 6)
      expect(energyShare).toBeCloseTo([0.75, 0.25][i]!, 9)
    })
    const [one, other] = tone.semitones.map(({ lossBeforeDb }) => lossBeforeDb!)
    expect(tone.evennessBeforeDb).toBeCloseTo(Math.sqrt(0.75 * 0.25) * Math.abs(one! - other!), 9)
    expect(tone.evennessAfterDb).toBeCloseTo(0, 6)
  })
})

describe('a blend of two channels', () => {
  test('adds their powers', () => {
    const tone = blendTone(seen, blendOf([near, far], { sides: [[0, 1], [0]] }))
    const power = before.map(value => value + 0.25)
    tone.frequenciesHz.forEach((hz, i) => {
      expect(tone.before.lossDb[i]).toBeCloseTo(
        lost(
          power,
          densityOf(() => 0.81 + 0.25),
          hz,
        ),
        6,
      )
    })
  })
})

describe('a shift that follows the take', () => {
  const levelsOf = (power: Float64Array, other: Float64Array, hz: readonly number[]): number[] => {
    const energies = (density: Float64Array) =>
      hz.map(f => energyAround(density, bins, 24 * Math.log2(f / 440), 1))
    const loudest = Math.max(...energies(power), ...energies(other))
    return energies(power).map(energy => 10 * Math.log10(energy / loudest))
  }

  test('before is what was summed frame by frame, channel by channel; after is predicted', () => {
    const following = { ...far, follow: FOLLOW }
    // Carried by the renderer's own filter, it lies exactly where it is delivered: a quarter of a frame early as in the formula.
    const blend = blendOf([near, following], { asRecorded: [0, 1], sides: [[0, 1], [0]] })
    const tone = blendTone(seen, blend)
    const after = densityOf(hz => 0.41 + 0.4 * Math.cos((2 * Math.PI * hz * 0.25) / RATE) + 0.25)
    const summed = densityOf(() => 7.5)
    const expected = {
      before: levelsOf(summed, after, tone.frequenciesHz),
      after: levelsOf(after, summed, tone.frequenciesHz),
    }
    for (const time of ['before', 'after'] as const)
      tone[time].levelDb.forEach((level, i) => {
        expect(level).toBeCloseTo(expected[time][i]!, 6)
      })
    expect(tone.words).not.toBe('nothing changed: as recorded')
  })

  test('a blend that leaves all parts as recorded is the same before and after', () => {
    const asIs = { ...far, atSamples: 50, gain: 0.4 }
    const tone = blendTone(seen, blendOf([near, asIs], { asRecorded: [0] }))
    expect(tone.after).toEqual(tone.before)
    expect(tone.broadbandChangeDb).toBe(0)
    expect(tone.words).toBe('nothing changed: as recorded')
  })
})

describe('what counts as a change', () => {
  const moved = (...parts: readonly StemPart[]): boolean =>
    blendTone(seen, blendOf(parts)).words !== 'nothing changed: as recorded'

  test('a gain, a place against the others, a shift that follows; not a move of all alike', () => {
    const asIs = part('far', {})
    expect(moved(near, asIs)).toBe(false)
    expect(moved(near, { ...asIs, gain: -0.5 })).toBe(true)
    expect(moved(near, { ...asIs, atSamples: 4 })).toBe(true)
    expect(moved(near, { ...asIs, follow: FOLLOW })).toBe(true)
    expect(moved({ ...near, atSamples: 9 }, { ...asIs, atSamples: 109, recordedAtSamples: 100 })).toBe(false)
  })
})

describe('an echo', () => {
  const words = (recorded: readonly (readonly [string, number])[]): string =>
    blendTone(seen, blendOf(recorded.map(([name, recordedAtSamples]) => part(name, { recordedAtSamples }))))
      .words

  test('is told of the part that came last, from more than 50 ms on', () => {
    expect(
      words([
        ['amp', 0],
        ['reamp', 2400],
        ['room', 800],
      ]),
    ).toMatch(/^reamp was 300 ms away, an echo/)
    expect(
      words([
        ['amp', 0],
        ['room', 408],
      ]),
    ).toMatch(/^room was 51 ms away/)
    expect(
      words([
        ['amp', 0],
        ['room', 400],
      ]),
    ).not.toContain('echo')
  })
})
