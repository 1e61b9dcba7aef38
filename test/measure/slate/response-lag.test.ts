import { describe, expect, test } from 'vitest'
import { findSlates } from '../../../src/measure/slate/find-slates.js'
import { responseLag } from '../../../src/measure/slate/response-lag.js'
import { likeness } from '../../../src/measure/slate/response-spectrum.js'
import { type SlateResponse, slateResponses } from '../../../src/measure/slate/slate-responses.js'
import { arraySource } from '../../../src/measure/spectra/frame-source.js'
import { slateSignal } from '../../../src/signal/slate.js'
import { whiteNoise } from '../../corpus/random.js'
import {
  air,
  bell,
  gain,
  highPass,
  lowPass,
  multiply,
  type Response,
  reflections,
  rollOff,
  ventedBox,
} from '../../corpus/responses.js'
import { through } from '../../corpus/spectrum.js'

const RATE = 48000
const START = 36000
const slate = slateSignal(RATE)
const played = new Float64Array(START + slate.length + RATE)
played.set(slate, START)

/** A path: response, then noise of so many dB under full scale (rms). */
const recorded = (response: Response, seed: string, noiseDb = -70): Float64Array => {
  const noise = whiteNoise(played.length, seed)
  const level = 10 ** (noiseDb / 20)
  return through(played, RATE, 24000, response).map((v, n) => v + level * noise[n]!)
}
const responseOf = (signal: Float64Array): SlateResponse => {
  const [place] = findSlates(arraySource([signal]), 0, signal.length, RATE)
  expect(place).toBeDefined()
  return slateResponses(arraySource([signal]), 0, place!.frame, RATE)
}
const ms = (value: number): number => value / 1000
const frames = (seconds: number): number => seconds * RATE

const direct = responseOf(recorded(gain(0.5), 'direct'))

describe('the response of a path', () => {
  test('a path that changes nothing gives one pulse of its gain', () => {
    const mean = direct.first.map((v, n) => (v + direct.second[n]!) / 2)
    const at = mean.indexOf(Math.max(...mean))
    expect(direct.startFrame + at).toBe(START + 0.5 * RATE)
    // The band to 16 kHz with its fade holds about 0.58 of all frequencies: the pulse is that high, times the gain.
    expect(mean[at]).toBeCloseTo(0.5 * ((2 * (14000 - 60)) / RATE), 2)
    expect(likeness(direct)).toBeGreaterThan(0.999)
  })
})

const PATHS: readonly {
  name: string
  lagMs: number
  sign: 1 | -1
  response: Response
  noiseDb?: number
  within: number
}[] = [
  { name: 'air', lagMs: 1.986, sign: 1, response: gain(0.3), within: 0.02 },
  { name: 'turned over', lagMs: 7.6, sign: -1, response: gain(0.3), within: 0.02 },
  { name: 'early', lagMs: -3.25, sign: 1, response: gain(0.3), within: 0.02 },
  {
    name: 'a loudspeaker in a closed box',
    lagMs: 3,
    sign: 1,
    response: multiply(highPass(90, 0.9), bell(2500, 6, 2), rollOff(7000)),
    within: 3,
  },
  {
    name: 'a vented box, turned over',
    lagMs: 0.9,
    sign: -1,
    response: multiply(ventedBox(80), lowPass(5000, 0.7)),
    within: 4,
  },
  {
    name: 'a reflection louder than the direct sound',
    lagMs: 5,
    sign: 1,
    response: multiply(
      gain(0.2),
      reflections([
        { seconds: 0, factor: 1 },
        { seconds: ms(4.1), factor: -1.5 },
        { seconds: ms(9.3), factor: 0.8 },
      ]),
    ),
    within: 0.1,
  },
  {
    name: 'noise 20 dB under the sweep',
    lagMs: 2.345,
    sign: -1,
    response: gain(0.5),
    noiseDb: -49,
    within: 0.1,
  },
]

describe('lag and polarity by the slate', () => {
  test.each(PATHS)('$name', ({ lagMs, sign, response, noiseDb, within, name }) => {
    const path = multiply(response, gain(sign), air(ms(lagMs)))
    const found = responseLag(direct, responseOf(recorded(path, name, noiseDb)))
    expect(found).not.toBeNull()
    expect(found!.sign).toBe(sign)
    expect(Math.abs(found!.lagSamples - frames(ms(lagMs)))).toBeLessThan(within)
    expect(found!.score).toBeGreaterThan(0.5)
    expect(found!.rival).toBeLessThan(0.8)
    if (within < 1)
      expect(Math.abs(found!.lagSamples - frames(ms(lagMs)))).toBeLessThan(
        4 * found!.uncertaintySamples + 0.01,
      )
  })
})
