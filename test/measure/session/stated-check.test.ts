import { expect, test } from 'vitest'
import type { Polarity, SourceMeasurement } from '../../../src/measure/measurement.js'
import { statedDiffers } from '../../../src/measure/session/stated-check.js'
import type { SessionGroup, SessionSource } from '../../../src/recipe/session.js'

type Stated = Pick<SessionSource, 'lag' | 'polarity'>

const file = (name: string, stated: Partial<Stated>) =>
  ({ kind: 'file', name, polarity: 'measured', lag: 'measured', ...stated }) as SessionSource
const inside = (name: string, group: string, stated: Partial<Stated>) =>
  ({ kind: 'group', name, group, polarity: 'measured', lag: 'measured', ...stated }) as SessionSource
const groupOf = (name: string, ...sources: SessionSource[]) =>
  ({ name, reference: sources[0]?.name, sampleRateHz: 48000, sources }) as unknown as SessionGroup

const told = (
  group: SessionGroup,
  measured: Partial<SourceMeasurement>,
  others: readonly SessionGroup[] = [],
): string[] => [
  ...statedDiffers({ group, session: { groups: [...others, group] } as never }, group.sources.at(-1)!, {
    lagSamples: 100,
    lagVerdict: 'sure',
    lagUncertaintySamples: 0.1,
    arrivalSpreadSamples: 1,
    polarity: 'normal',
    polarityVerdict: 'sure',
    ...measured,
  } as SourceMeasurement),
]

const against = (reference: Stated['polarity'], own: Stated['polarity'], polarity: Polarity) =>
  told(groupOf('g', file('a', { polarity: reference }), file('b', { polarity: own })), { polarity }).length

test('a stated polarity is held against the reference as it is delivered', () => {
  expect(against('measured', 'inverted', 'normal')).toBe(1)
  expect(against('measured', 'inverted', 'inverted')).toBe(0)
  expect(against('measured', 'as-recorded', 'inverted')).toBe(1)
  expect(against('measured', 'as-recorded', 'normal')).toBe(0)
  expect(against('inverted', 'inverted', 'normal')).toBe(0)
  expect(against('inverted', 'inverted', 'inverted')).toBe(1)
  expect(against('inverted', 'as-recorded', 'normal')).toBe(1)
  expect(against('inverted', 'as-recorded', 'inverted')).toBe(0)
  expect(against('inverted', 'measured', 'inverted')).toBe(0)
})

test('a reference that the recipe turns over contradicts nothing', () => {
  expect(told(groupOf('g', file('a', { polarity: 'inverted' })), {})).toEqual([])
})

test('a turned reference inside a group that is a source counts too', () => {
  const kick = groupOf('kick', file('in', { polarity: 'inverted' }))
  const kit = (polarity: Stated['polarity']) =>
    groupOf('kit', file('left', {}), inside('k', 'kick', { polarity }))
  // recorded alike, turned inside: to fit, the whole has to be turned back
  expect(told(kit('inverted'), { polarity: 'normal' }, [kick])).toEqual([])
  expect(told(kit('as-recorded'), { polarity: 'normal' }, [kick])).toHaveLength(1)
  const held = groupOf('room', inside('k', 'kick', {}), file('far', { polarity: 'inverted' }))
  expect(told(held, { polarity: 'normal' }, [kick])).toEqual([])
})

test('what is not sure contradicts nothing', () => {
  const group = groupOf('g', file('a', {}), file('b', { polarity: 'inverted', lag: { samples: 300 } }))
  expect(told(group, { polarityVerdict: 'unsure', lagVerdict: 'unsure' })).toEqual([])
  expect(
    told(group, { polarityVerdict: 'unknown', polarity: null, lagVerdict: 'unknown', lagSamples: null }),
  ).toEqual([])
})

test('a stated lag is told with both figures, in true minus signs', () => {
  const group = groupOf('g', file('a', {}), file('b', { lag: { samples: -96 } }))
  expect(told(group, { lagSamples: 48 })).toEqual([
    'The recipe states a lag of \u22122.00 ms; measured are 1.00 ms. The stated lag is used; check it by ear.',
  ])
  expect(told(group, { lagSamples: -98 })).toEqual([])
})
