import { expect, test } from 'vitest'
import { songsAtOnce } from '../../../src/jobs/album/songs-at-once.js'

test('one thread does one song after the other; more do as many at once as keep them busy', () => {
  expect([1, 2, 4, 8, 64].map(songsAtOnce)).toEqual([1, 2, 2, 3, 17])
})
