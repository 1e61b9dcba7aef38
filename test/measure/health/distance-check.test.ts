import { describe, expect, test } from 'vitest'
import { distanceDiffers } from '../../../src/measure/health/distance-check.js'
import type { SessionTrack } from '../../../src/measure/session/session-source.js'
import type { Via } from '../../../src/recipe/session.js'

const RATE = 48000
/** Speed of sound, m/s: 343.2146 at 20 C, 351.8859 at 35 C (computed from the textbook form, check against any table). */
const SPEED = { 20: 343.2146, 35: 351.8859 } as const

const track = (name: string, via: Via | null, distanceMetres: number | null): SessionTrack =>
  ({
    source: { name, kind: 'file', via, distanceMetres },
    file: { name, kind: 'file', via, distanceMetres },
    fromGroup: null,
  }) as unknown as SessionTrack

const ask = (
  reference: SessionTrack,
  source: SessionTrack,
  metresOfLag: number,
  more: { spread?: number; celsius?: 20 | 35; verdict?: 'sure' | 'unsure' } = {},
): string | null => {
  const celsius = more.celsius ?? 20
  return distanceDiffers({
    track: source,
    reference,
    measured: {
      lagVerdict: more.verdict ?? 'sure',
      lagSamples: (metresOfLag / SPEED[celsius]) * RATE,
      arrivalSpreadSamples: more.spread ?? 0,
    },
    sampleRateHz: RATE,
    temperatureCelsius: celsius,
  })
}

const direct = track('direct', 'direct', null)
const far = track('far', 'mic', 2)

describe('a microphone against a cable', () => {
  test('3 cm and 3 % are allowed to either side: 9 cm on 2 m', () => {
    for (const off of [-0.089, 0, 0.089]) expect(ask(direct, far, 2 + off)).toBeNull()
    for (const off of [-0.091, 0.091])
      expect(ask(direct, far, 2 + off)).toMatch(/2\.00 m of air more than to direct/)
  })

  test('the arrival spread is allowed for too', () => {
    // 20 frames are 14.3 cm.
    expect(ask(direct, far, 2.2)).not.toBeNull()
    expect(ask(direct, far, 2.2, { spread: 20 })).toBeNull()
    expect(ask(direct, far, 2.25, { spread: 20 })).not.toBeNull()
  })

  test('the temperature of the recipe counts, and is told', () => {
    const warm = ask(direct, far, 2.2, { celsius: 35 })
    expect(warm).toMatch(/the lag says 2\.20 m of air more, at 35 °C/)
    const lag = (2.08 / SPEED[35]) * RATE
    const at = (temperatureCelsius: number) =>
      distanceDiffers({
        track: far,
        reference: direct,
        measured: { lagVerdict: 'sure', lagSamples: lag, arrivalSpreadSamples: 0 },
        sampleRateHz: RATE,
        temperatureCelsius,
      })
    // The same lag is 2.08 m at 35 C and 1.89 m at -20 C: 8 cm and 11 cm beside the tape, 9 cm are allowed.
    expect(at(35)).toBeNull()
    expect(at(-20)).toMatch(/-20 °C/)
  })
})

describe('both ways', () => {
  const near = track('near', 'mic', 0.3)
  test('between two microphones the difference of the distances counts', () => {
    expect(ask(near, far, 1.7)).toBeNull()
    expect(ask(near, far, 2)).toMatch(/1\.70 m of air more than to near; the lag says 2\.00 m/)
  })

  test('a nearer microphone than the reference must be early', () => {
    expect(ask(far, near, -1.7)).toBeNull()
    expect(ask(far, near, 1.7)).toMatch(/1\.70 m of air less than to far; the lag says 1\.70 m of air more/)
  })

  test('a cable against a microphone as reference must be early by its distance', () => {
    expect(ask(far, direct, -2)).toBeNull()
    expect(ask(far, direct, -1.5)).toMatch(/2\.00 m of air less than to far/)
  })
})

test('nothing is told without both distances, without a sure lag, and across a re-amped pass', () => {
  expect(ask(direct, track('m', 'mic', null), 5)).toBeNull()
  expect(ask(track('m', 'mic', null), far, 5)).toBeNull()
  expect(ask(direct, track('piezo', 'pickup', null), 5)).toBeNull()
  expect(ask(direct, far, 5, { verdict: 'unsure' })).toBeNull()
  expect(ask(far, far, 5)).toBeNull()
  expect(ask(direct, track('cab', 'reamp', 0.05), 5)).toBeNull()
  expect(ask(track('cab 1', 'reamp', 0.05), track('cab 2', 'reamp', 1.05), 1)).toBeNull()
  expect(ask(track('cab 1', 'reamp', 0.05), track('cab 2', 'reamp', 1.05), 1.5)).not.toBeNull()
})
