import { describe, expect, test } from 'vitest'
import type { Candidate, Polarity } from '../../src/measure/measurement.js'
import { codesOf, file, group, planOf, sourceOf } from './setting/song.js'

const reference = file('piezo')
const moveOf = async (...args: Parameters<typeof file>) => {
  const plan = await planOf([group('bass', [reference, file(...args)])])
  return { ...sourceOf(plan, `bass/${args[0]}`).move, plan }
}
const late = { lagSamples: 100, polarity: 'inverted' } as const

describe('a verdict that is not sure', () => {
  test.each([
    ['lag unsure', { lagVerdict: 'unsure', verdict: 'unsure' }, 'lag unsure (coherence 0.80): as recorded'],
    [
      'polarity unsure',
      { polarityVerdict: 'unsure', verdict: 'unsure' },
      'polarity unsure (coherence 0.80): as recorded',
    ],
    [
      'both unknown',
      {
        lagVerdict: 'unknown',
        polarityVerdict: 'unknown',
        verdict: 'unknown',
        lagSamples: null,
        polarity: null,
      },
      'lag unknown (coherence 0.80): as recorded',
    ],
  ] as const)(
    '%s: lag and polarity as recorded, and what to do is said',
    async (_name, verdicts, because) => {
      const { shiftSamples, polarity, plan, ...move } = await moveOf('room', { ...late, ...verdicts })
      expect({ shiftSamples, polarity }).toEqual({ shiftSamples: 0, polarity: 'normal' })
      expect(move.because).toBe(because)
      expect(codesOf(plan)).toEqual(['NOT_SURE'])
      expect(plan.warnings[0]).toMatchObject({ group: 'bass', source: 'room' })
      expect(plan.warnings[0]?.message).toContain('stays entirely as recorded')
      expect(plan.warnings[0]?.message).toContain('`lag: …` and `polarity: inverted`')
    },
  )

  test('the reason of the measurement is passed on', async () => {
    const { plan } = await moveOf('room', {
      ...late,
      lagVerdict: 'unsure',
      verdict: 'unsure',
      reason: 'a held note fits as well one period earlier',
    })
    expect(plan.warnings[0]?.message).toBe(
      'The lag of room is unsure. It stays entirely as recorded. A held note fits as well one period earlier.',
    )
  })

  test('a stated lag is done whatever the verdict; the polarity that was to be measured stays', async () => {
    const { shiftSamples, polarity, plan } = await moveOf(
      'room',
      { ...late, lagVerdict: 'unsure', polarityVerdict: 'unsure', verdict: 'unsure' },
      { lag: { samples: 100.8 } },
    )
    expect({ shiftSamples, polarity }).toEqual({ shiftSamples: -100.8, polarity: 'normal' })
    expect(plan.warnings.map(({ message }) => message)).toEqual([
      expect.stringContaining('Its polarity stays as recorded'),
    ])
  })

  test('stated lag and polarity need no verdict and no warning', async () => {
    const { shiftSamples, polarity, plan } = await moveOf(
      'room',
      {
        lagSamples: null,
        polarity: null,
        lagVerdict: 'unknown',
        polarityVerdict: 'unknown',
        verdict: 'unknown',
      },
      { lag: { samples: 101 }, polarity: 'inverted' },
    )
    expect({ shiftSamples, polarity }).toEqual({ shiftSamples: -101, polarity: 'inverted' })
    expect(plan.warnings).toEqual([])
  })
})

describe('what the recipe states', () => {
  test('is done against a sure measurement too', async () => {
    const { shiftSamples, polarity, plan } = await moveOf(
      'room',
      { lagSamples: 364, polarity: 'inverted' },
      { lag: { samples: 100.8 }, polarity: 'as-recorded' },
    )
    expect({ shiftSamples, polarity }).toEqual({ shiftSamples: -100.8, polarity: 'normal' })
    expect(plan.warnings).toEqual([])
  })

  test('a reference that is turned over turns the measured others, not the stated ones', async () => {
    const turned = file('piezo', {}, { polarity: 'inverted' })
    const plan = await planOf([
      group('bass', [
        turned,
        file('a', { polarity: 'inverted' }),
        file('b', { polarity: 'normal' }),
        file('c', { polarity: 'normal' }, { polarity: 'as-recorded' }),
      ]),
    ])
    expect(plan.sources.map(source => source.move.polarity)).toEqual([
      'inverted',
      'normal',
      'inverted',
      'normal',
    ])
  })
})

describe('lag: as-recorded with the polarity left to the measurement', () => {
  const at = (aim: Candidate['aim'], lagSamples: number, polarity: Polarity): Candidate => ({
    aim,
    lagSamples,
    polarity,
    score: 0.5,
  })
  const kept = async (...candidates: Candidate[]) => {
    const { shiftSamples, polarity } = await moveOf('room', { ...late, candidates }, { lag: 'as-recorded' })
    expect(shiftSamples).toBe(0)
    return polarity
  }

  test('takes the polarity of the position that it lies in', async () => {
    expect(await kept(at('fullness', 100, 'normal'), at('fullness', -20, 'inverted'))).toBe('inverted')
    expect(await kept(at('fullness', 30, 'normal'), at('fullness', -100, 'inverted'))).toBe('normal')
  })

  test('asks the arrival where no fullness can tell', async () => {
    expect(await kept(at('arrival', 100, 'normal'), at('arrival', -20, 'inverted'))).toBe('inverted')
  })

  test('stays as recorded where the measurement cannot tell', async () => {
    expect(await kept()).toBe('normal')
    expect(await kept(at('fullness', 100, 'inverted'))).toBe('normal')
    // half a period is 20 frames there: 0 lies beyond the nearest position
    expect(await kept(at('fullness', 100, 'inverted'), at('fullness', 120, 'normal'))).toBe('normal')
  })

  test('one position within a frame is answer enough', async () => {
    expect(await kept(at('fullness', 0.4, 'inverted'))).toBe('inverted')
  })
})

describe('aim: fullness', () => {
  test('takes the fullest position, polarity included, and says so', async () => {
    const room = file('room', {
      lagSamples: 95,
      candidates: [
        { aim: 'arrival', lagSamples: 95, polarity: 'normal', score: 0.9 },
        { aim: 'fullness', lagSamples: 70.5, polarity: 'inverted', score: 0.95 },
        { aim: 'fullness', lagSamples: 120, polarity: 'normal', score: 0.8 },
      ],
    })
    const plan = await planOf([group('bass', [reference, room], { align: { aim: 'fullness' } })])
    const { move } = sourceOf(plan, 'bass/room')
    expect(move).toMatchObject({ shiftSamples: -70.5, polarity: 'inverted' })
    expect(move.because).toBe('late by 1.469 ms (fullness), sure; polarity inverted')
    const arrival = await planOf([group('bass', [reference, room])])
    expect(sourceOf(arrival, 'bass/room').move).toMatchObject({ shiftSamples: -95, polarity: 'normal' })
  })
})
