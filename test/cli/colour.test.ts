import { expect, test } from 'vitest'
import { tinted, wantsColour } from '../../src/cli/colour.js'

test.each([
  [true, false, {}, true],
  [false, false, {}, false],
  [false, false, { CI: 'true', FORCE_COLOR: '1' }, false],
  [true, true, {}, false],
  [true, false, { NO_COLOR: '1' }, false],
  [true, false, { NO_COLOR: '' }, true],
  [true, false, { TERM: 'dumb' }, false],
])('terminal %s, --no-color %s, environment %j: %s', (isTerminal, refused, environment, colour) => {
  expect(wantsColour({ isTerminal, refused, environment })).toBe(colour)
})

test('a tint is opened and closed, or absent', () => {
  expect(tinted('CLIPPED', 'yellow', true)).toBe('\u001b[33mCLIPPED\u001b[39m')
  expect(tinted('CLIPPED', 'yellow', false)).toBe('CLIPPED')
})
