import { expect, test } from 'vitest'
import { wantsColour } from '../../src/cli/colour.js'

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
