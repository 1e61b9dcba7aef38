import { expect, test } from 'vitest'
import { fullerChoice } from '../../src/cli/fuller-choice.js'
import type { Candidate, SourceMeasurement } from '../../src/measure/measurement.js'

const heard = (candidates: readonly Candidate[]): SourceMeasurement =>
  ({ polarity: 'normal', lagSamples: 96, lagMs: 2, candidates }) as unknown as SourceMeasurement
const arrival: Candidate = { aim: 'arrival', lagSamples: 96, polarity: 'normal', score: 0.9 }

test('a fuller position of the other polarity is told as a choice, with its lag', () => {
  const fuller: Candidate = { aim: 'fullness', lagSamples: 144, polarity: 'inverted', score: 0.97 }
  expect(fullerChoice(heard([arrival, fuller]))).toBe(
    'a choice: taken as inverted and 3.00 ms late, it sums fuller over the octaves than at its arrival; hear both (aim: fullness)',
  )
  const early: Candidate = { ...fuller, lagSamples: -24 }
  expect(fullerChoice(heard([arrival, early]))).toContain('inverted and 0.50 ms early')
})

test('nothing is told where the aims agree in polarity, or there is no answer', () => {
  const same: Candidate = { aim: 'fullness', lagSamples: 97, polarity: 'normal', score: 0.97 }
  const other: Candidate = { ...same, polarity: 'inverted', score: 0.9 }
  expect(fullerChoice(heard([arrival, same, other]))).toBeNull()
  expect(fullerChoice(heard([]))).toBeNull()
})
