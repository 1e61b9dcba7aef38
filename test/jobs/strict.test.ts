import { expect, test } from 'vitest'
import { notSureFaults } from '../../src/jobs/song/measure-song.js'
import type { SongMeasurement } from '../../src/measure/measurement.js'
import type { Session } from '../../src/recipe/session.js'

const unknown = {
  verdict: 'unknown',
  lagVerdict: 'unknown',
  polarityVerdict: 'unknown',
  lagSamples: null,
  polarity: null,
}
const sure = {
  verdict: 'sure',
  lagVerdict: 'sure',
  polarityVerdict: 'sure',
  lagSamples: 1,
  polarity: 'normal',
}

const told = (stated: object, measured: object, reference: object = sure): (string | null)[] => {
  const sources = [
    { name: 'a', lag: 'measured', polarity: 'measured' },
    { name: 'b', lag: 'measured', polarity: 'measured', ...stated },
  ]
  const session = { groups: [{ name: 'g', reference: 'a', sources }] } as unknown as Session
  const entries = [reference, measured].map((one, i) => ({
    name: 'ab'[i],
    file: 'ab'[i],
    reason: null,
    ...one,
  }))
  const measurement = { groups: [{ name: 'g', sources: entries }] } as unknown as SongMeasurement
  return notSureFaults(session, measurement).map(({ file }) => file)
}

test('what the recipe states needs no verdict; what is left to the measurement does', () => {
  expect(told({}, unknown)).toEqual(['b'])
  expect(told({}, sure)).toEqual([])
  expect(told({ lag: { samples: 3 } }, unknown)).toEqual(['b'])
  expect(told({ lag: { samples: 3 }, polarity: 'inverted' }, unknown)).toEqual([])
  expect(told({ lag: 'as-recorded', polarity: 'as-recorded' }, unknown)).toEqual([])
})

test('a reference that cannot serve is told, whatever is stated', () => {
  expect(told({ lag: 'as-recorded', polarity: 'as-recorded' }, unknown, unknown)).toEqual(['a'])
})
