import { describe, expect, it } from 'vitest'
import {
  bandWords,
  clock,
  counted,
  decibels,
  fixed,
  hertz,
  milliseconds,
  orDash,
  signed,
  timeOfDay,
} from '../../src/report/words/figures.js'

describe('figures as people read them', () => {
  it.each([
    [fixed(-0.004, 2), '0.00'],
    [fixed(-1.5, 1), '\u22121.5'],
    [signed(0.04, 1), '0.0'],
    [signed(2, 1), '+2.0'],
    [signed(-2, 1), '\u22122.0'],
    [decibels(4.06), '+4.1 dB'],
    [milliseconds(1.986), '1.99 ms'],
    [milliseconds(0.0213), '0.021 ms'],
    [hertz(251.3), '251 Hz'],
    [hertz(999.6), '1 kHz'],
    [hertz(1259), '1.26 kHz'],
    [bandWords(60, 250), '60–250 Hz'],
    [bandWords(250, 2000), '250 Hz – 2 kHz'],
    [bandWords(2000, 10000), '2–10 kHz'],
    [clock(72.4), '1:12'],
    [clock(59.96, 1), '1:00.0'],
    [clock(4.2, 1), '0:04.2'],
    [timeOfDay(1_699_200_000, 48000), '09:50:00.000'],
    [counted(1, 'run'), '1 run'],
    [counted(0, 'run'), '0 runs'],
    [orDash(null, String), '–'],
    [orDash(0, String), '0'],
  ])('%s', (made, expected) => {
    expect(made).toBe(expected)
  })
})
