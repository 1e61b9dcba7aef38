import { expect, test } from 'vitest'
import { standingNotchHz } from '../../src/tone/predict/standing-notch.js'

const hz = [40, 60, 80, 120, 180, 250, 400, 800]

test('a notch of a comb stands: below it the loss comes back to nothing', () => {
  // |cos| of two equal paths 2 ms apart: nothing is lost at the bottom, all at 250 Hz.
  const loss = hz.map(f => Math.min(60, -20 * Math.log10(Math.abs(Math.cos(Math.PI * f * 0.002)) + 1e-9)))
  expect(standingNotchHz(250, hz, loss)).toBe(250)
})

test('a ripple in the low end of an inverted path does not', () => {
  // |sin| of two equal paths 0.4 ms apart, one inverted: everything is lost towards the bottom.
  const loss = hz.map((f, i) => -20 * Math.log10(Math.sin(Math.PI * f * 0.0004)) + (i === 2 ? 2 : 0))
  expect(Math.min(...loss.slice(0, 3))).toBeGreaterThan(15)
  expect(standingNotchHz(80, hz, loss)).toBeNull()
})

test('what was not played says nothing, and without a notch there is none', () => {
  expect(standingNotchHz(80, hz, [null, null, 9, 1, 0, 0, 0, 0])).toBe(80)
  expect(standingNotchHz(null, hz, [0, 0, 0, 0, 0, 0, 0, 0])).toBeNull()
})
