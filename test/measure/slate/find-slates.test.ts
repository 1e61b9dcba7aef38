import { describe, expect, test } from 'vitest'
import { findSlates } from '../../../src/measure/slate/find-slates.js'
import { likeness } from '../../../src/measure/slate/response-spectrum.js'
import { slateResponses } from '../../../src/measure/slate/slate-responses.js'
import { arraySource } from '../../../src/measure/spectra/frame-source.js'
import { slateSignal } from '../../../src/signal/slate.js'
import { whiteNoise } from '../../corpus/random.js'

/* Where slates stand in a recording, and what is read off them: paths that are a gain and whole frames, so that all is known. */

const RATE = 44100
const slate = slateSignal(RATE)
/** From the start of the slate to its first sweep, and from one sweep to the other. */
const LEAD = 0.5 * RATE
const SPACING = 4 * RATE

interface Played {
  readonly at: number
  readonly gain: number
}

const recording = (seconds: number, played: readonly Played[], noise = 1e-4): Float64Array => {
  const out = whiteNoise(Math.round(seconds * RATE), `hiss ${seconds}`).map(v => noise * v)
  for (const { at, gain } of played)
    slate.forEach((v, n) => {
      if (at + n >= 0 && at + n < out.length) out[at + n] = out[at + n]! + gain * v
    })
  return out
}

const found = (channels: readonly Float64Array[], channel = 0) =>
  findSlates(arraySource(channels), channel, channels[0]!.length, RATE)

describe('slates in a recording', () => {
  test('are found to 4 ms, the clearest first, whichever way round and however loud', () => {
    const second = 11 * RATE + 77
    const noise = 3e-3
    const sound = recording(
      21,
      [
        { at: 3000, gain: -0.02 },
        { at: second, gain: 0.7 },
      ],
      noise,
    )
    const places = found([sound])
    expect(places).toHaveLength(2)
    expect(Math.abs(places[0]!.frame - (second + LEAD))).toBeLessThan(0.004 * RATE)
    expect(Math.abs(places[1]!.frame - (3000 + LEAD))).toBeLessThan(0.004 * RATE)
    // All of it is sweep; the raster of the search, a fifth of the rate, costs a little of its treble.
    expect(places[0]!.score).toBeGreaterThan(0.9)
    expect(places[0]!.score).toBeLessThanOrEqual(1 + 1e-9)
    // A fiftieth of a tenth of full scale, against the hiss of the lowest fifth of the band.
    const [sweep, hiss] = [(0.02 * 0.1) / Math.SQRT2, noise * Math.sqrt(1 / 5)]
    expect(Math.abs(places[1]!.score - sweep / Math.hypot(sweep, hiss))).toBeLessThan(0.1)
  })

  test('need both sweeps, the second upside down, at their distance', () => {
    const cut = recording(7, [{ at: 2000, gain: 0.5 }])
    expect(found([cut])).toHaveLength(1)
    // The first sweep alone; and the second turned over; and half a second too late.
    const alone = cut.map((v, n) => (n < 2000 + LEAD + 3.5 * RATE ? v : 0))
    const alike = cut.map((v, n) => (n < 2000 + LEAD + 3.5 * RATE ? v : -v))
    const apart = Float64Array.from({ length: cut.length + RATE }, (_, n) =>
      n < 2000 + LEAD + 3.5 * RATE ? cut[n]! : (cut[n - RATE / 2] ?? 0),
    )
    for (const wrong of [alone, alike, apart]) expect(found([wrong])).toEqual([])
    expect(found([whiteNoise(8 * RATE, 'noise')])).toEqual([])
    expect(found([new Float64Array(8 * RATE)])).toEqual([])
    // At -140 dBFS nothing was played.
    expect(found([recording(10, [{ at: 500, gain: 1e-6 }], 0)])).toEqual([])
  })

  test('are looked for in the channel that is named', () => {
    const sound = recording(10, [{ at: 500, gain: 0.5 }])
    const none = recording(10, [])
    expect(found([none, sound], 0)).toEqual([])
    expect(found([none, sound], 1)).toHaveLength(1)
  })
})

describe('the response at a slate', () => {
  test('of a gain and a delay is one pulse there, the same from both sweeps', () => {
    const at = 4000
    const late = 137
    const sound = recording(10, [{ at: at + late, gain: -0.4 }], 1e-6)
    const other = new Float64Array(sound.length)
    // The place may be off by what the search is: the response tells where it was.
    const response = slateResponses(arraySource([other, sound]), 1, at + LEAD + 30.4, RATE)
    expect(response.sampleRateHz).toBe(RATE)
    expect(response.startFrame).toBe(at + LEAD + 30 - Math.round(0.05 * RATE))
    expect(response.first).toHaveLength(Math.round(0.05 * RATE) + Math.round(0.25 * RATE))
    const lowest = response.first.indexOf(Math.min(...response.first))
    expect(response.startFrame + lowest).toBe(at + late + LEAD)
    // The band from 40 Hz to 16 kHz with its fades holds 13,940 Hz of the 22,050.
    expect(response.first[lowest]! / -0.4).toBeCloseTo((2 * (14000 - 60)) / RATE, 2)
    expect(response.second[lowest]! / response.first[lowest]!).toBeCloseTo(1, 2)
    expect(likeness(response)).toBeGreaterThan(0.999)
    expect(SPACING).toBe(4 * RATE)
  })
})
