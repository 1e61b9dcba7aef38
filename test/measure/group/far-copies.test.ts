import { describe, expect, test } from 'vitest'
import { measureTraces } from '../../../src/measure/group/measure-traces.js'
import type { MeasuredPair } from '../../../src/measure/group/measured-traces.js'
import { judgePair } from '../../../src/measure/verdict/judge-pair.js'
import { inPlace } from '../../corpus/in-place.js'
import { whiteNoise } from '../../corpus/random.js'

/* Sound that lies further off than is looked at first: beyond the search, or beyond what the fine window sees. White noise at a low rate. */

const RATE = 8000
const N = 6 * RATE
const sound = whiteNoise(N, 'sound')
const heard = (
  copies: readonly (readonly [frames: number, factor: number])[],
  seed: string,
): Float64Array => {
  const own = whiteNoise(N, seed)
  return own.map((v, n) =>
    copies.reduce((sum, [frames, factor]) => sum + factor * (sound[n - frames] ?? 0), 0.1 * v),
  )
}

const pairOf = async (source: Float64Array, searchSeconds: number): Promise<MeasuredPair> => {
  const tracks = [[heard([[0, 1]], 'reference')], [source]]
  const member = (name: string) => ({ name, channels: 1, frames: N, startFrame: 0 })
  const measured = await measureTraces(
    { sampleRateHz: RATE, members: [member('a'), member('b')], reference: 0, searchSeconds, passage: null },
    inPlace(tracks),
  )
  return measured.pairs[0]!
}

describe('beyond the search', () => {
  test('a lag that fits better is told, and nothing is sure', async () => {
    const pair = await pairOf(heard([[480, 1]], 'far'), 0.02)
    expect(Math.abs(pair.beyondSamples! - 480)).toBeLessThan(1)
    expect(judgePair(pair, { sampleRateHz: RATE, searchSamples: 160 }).lag).not.toBe('sure')
  })

  test('nothing is, where what was found holds most of the sound', async () => {
    const pair = await pairOf(heard([[80, 1]], 'near'), 0.02)
    expect(pair.beyondSamples ?? null).toBeNull()
    expect(Math.abs(pair.shiftSamples + pair.estimate!.lagSamples - 80)).toBeLessThan(0.05)
    expect(judgePair(pair, { sampleRateHz: RATE, searchSamples: 160 }).lag).toBe('sure')
  })
})

describe('a second copy, 75 ms from the first: the fine window sees a quarter of a quarter of a second', () => {
  const copies = async (first: number, second: number): Promise<{ lag: number; copy: number | null }> => {
    const pair = await pairOf(
      heard(
        [
          [100, first],
          [700, second],
        ],
        `copies ${first} ${second}`,
      ),
      0.15,
    )
    return { lag: pair.shiftSamples + pair.estimate!.lagSamples, copy: pair.copySamples ?? null }
  }

  test('as loud as the first, on either side', async () => {
    const { lag, copy } = await copies(1, 0.95)
    expect([lag, copy].map(v => Math.round(v!)).sort((a, b) => a - b)).toEqual([100, 700])
  })

  test('earlier, at half of the louder: the first of two is the path', async () => {
    const { lag, copy } = await copies(0.55, 1)
    expect(Math.round(lag)).toBe(700)
    expect(Math.abs(copy! - 100)).toBeLessThan(1.5)
  })

  test('not one that is later and fainter, nor a faint one before', async () => {
    const later = await copies(1, 0.5)
    expect([Math.round(later.lag), later.copy]).toEqual([100, null])
    const before = await copies(0.2, 1)
    expect([Math.round(before.lag), before.copy]).toEqual([700, null])
  })

  test('not one that is earlier than the search goes', async () => {
    const pair = await pairOf(
      heard(
        [
          [-1300, 0.6],
          [700, 1],
        ],
        'before the search',
      ),
      0.15,
    )
    expect(Math.round(pair.shiftSamples + pair.estimate!.lagSamples)).toBe(700)
    expect(pair.copySamples ?? null).toBeNull()
  })

  test('of a narrow search there is none: it does not go that far', async () => {
    const pair = await pairOf(
      heard(
        [
          [100, 1],
          [400, 0.95],
        ],
        'narrow',
      ),
      0.06,
    )
    expect(pair.copySamples ?? null).toBeNull()
  })
})
