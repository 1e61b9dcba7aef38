import { describe, expect, test } from 'vitest'
import { compareRates } from '../../../src/measure/health/compare-rates.js'
import { rateSentences } from '../../../src/measure/health/rate-words.js'
import { stretchedSource } from '../../../src/measure/health/stretched-source.js'
import { arraySource } from '../../../src/measure/spectra/frame-source.js'
import { quietContext } from '../../../src/terms/task.js'
import { whiteNoise } from '../../corpus/random.js'
import { fileSource } from '../session-fixture.js'
import { resampled } from './resampled.js'

/* A recording as if its rate were another, and how well two fit at each. */

describe('a source that is read at another rate', () => {
  const RATE = 48000
  const tone = (hz: number, place: number): number => Math.sin((2 * Math.PI * hz * place) / RATE + 0.3)
  const of = (hz: number) =>
    arraySource([0, 1].map(side => Float64Array.from({ length: 9000 }, (_, n) => (side + 1) * tone(hz, n))))

  test.each([147 / 160, 1000 / 1001, 25 / 24, 1.5])(
    'holds at frame n what the original has at n times %d',
    factor => {
      const into = [new Float64Array(700), new Float64Array(700)]
      const start = 2100
      stretchedSource(of(3000), factor).read(start, into)
      let worst = 0
      into.forEach((samples, side) => {
        samples.forEach((value, n) => {
          worst = Math.max(worst, Math.abs(value - (side + 1) * tone(3000, (start + n) * factor)))
        })
      })
      // Nearest of 512 filters: half a step of pi 3000 / 48000 / 512 radians at most, of amplitude 2.
      expect(worst).toBeLessThan(2 * ((Math.PI * 3000) / RATE / 512) * 1.05)
    },
  )

  test('is silent outside of the recording, and itself at a factor of 1', () => {
    const source = of(1000)
    expect(stretchedSource(source, 1)).toBe(source)
    const into = [new Float64Array(50).fill(9), new Float64Array(50).fill(9)]
    stretchedSource(source, 0.5).read(-200, into)
    expect(into[0]!.every(value => value === 0)).toBe(true)
    stretchedSource(source, 0.5).read(18100, into)
    expect(into[1]!.every(value => value === 0)).toBe(true)
  })
})

describe('how well two recordings fit at several rates', () => {
  test('stands out of chance at the true one alone', () => {
    const frames = 400_000
    const sound = whiteNoise(frames, 'rates').map(v => 0.1 * v)
    const other = whiteNoise(frames, 'stereo').map(v => 0.1 * v)
    const factor = 24 / 25
    const later = Float64Array.from(sound, (_, n) => sound[n - 300] ?? 0)
    const compared = (name: string, channels: readonly Float64Array[], channel: number) => {
      const { file, selection } = fileSource(name, channels)
      return { file, selection, channel }
    }
    const heights = compareRates(
      {
        reference: compared('ours', [other, sound], 1),
        source: compared('theirs', [resampled(later, 1 / factor).slice(1000)], 0),
        starts: [20_000, 150_000],
        startFrame: Math.round(1000 / factor),
        searchSamples: 1920,
        factors: [1, 24 / 25, 1000 / 1001],
      },
      quietContext,
    )
    expect(heights).toHaveLength(3)
    expect(heights[1]!).toBeGreaterThan(30)
    // The highest of 3840 values of chance.
    for (const height of [heights[0]!, heights[2]!]) {
      expect(height).toBeGreaterThan(3)
      expect(height).toBeLessThan(6)
    }
  })

  test('is nothing in silence', () => {
    const { file, selection } = fileSource('silence', [new Float64Array(200_000)])
    const silent = { file, selection, channel: 0 }
    expect(
      compareRates(
        { reference: silent, source: silent, starts: [0], startFrame: 0, searchSamples: 100, factors: [1] },
        quietContext,
      ),
    ).toEqual([0])
  })
})

test('what is said of a wrong label, word for word', () => {
  expect(rateSentences(147 / 160, 48000, 'direct')).toEqual({
    reason:
      'plays 8.8 % too fast: the sample rate in the header of this file seems wrong, so correct it and convert the file to 48 kHz',
    warning:
      'By its sound it plays 8.8 % too fast against direct (88,435 ppm, all the time): most likely this file was recorded at 44.1 kHz and its header says 48 kHz. Nothing was measured until that is right. In a copy, set the header to the true rate, then convert that copy to 48 kHz with a resampler; for the next take, look at the clock source of the recorder.',
  })
  // Of 52.245 kHz and 44.1 kHz only the other is a rate that anybody records at.
  expect(rateSentences(160 / 147, 48000, 'direct').reason).toContain('in the header of direct seems wrong')
  expect(rateSentences(1000 / 1001, 48000, 'direct').warning).toContain(
    'it plays 0.10 % too fast against direct (1,000 ppm, all the time): most likely this file was recorded at 47.952 kHz',
  )
  expect(rateSentences(2, 48000, 'direct').warning).toContain('50.0 % too slow against direct (500,000 ppm')
})
