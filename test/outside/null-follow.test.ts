import path from 'node:path'
import { describe, expect, test } from 'vitest'
import type { Align } from '../../src/recipe/session.js'
import { RealFft } from '../../src/signal/fft.js'
import { group } from '../decide/setting/song.js'
import { noted } from '../evidence.js'
import { newFolder, renderFor, samplesOf, stemFile, type TakeMore, take } from '../render/setting/takes.js'

/*
 * A lag that changes during the take, followed. The truth is computed, not filtered: the recording holds the sound at the moments that its
 * lag says, from the formula of the sound.
 *
 * Limits: the project's own contract for `follow` (a drift removed to less than 0.02 frames, spurs under -110 dB on a sine of 10 kHz; no
 * click above -90 dB and a bounded bend of the pitch where a step is followed).
 */

const RATE = 48000
type Sound = (frame: number) => number

const tone =
  (frequencyHz: number, amplitude = 0.5): Sound =>
  frame =>
    amplitude * Math.sin((2 * Math.PI * frequencyHz * frame) / RATE)

interface Case {
  readonly frames: number
  readonly sound: Sound
  /** Which moment of the reference stands at a frame of the recording. */
  readonly momentAt: (frame: number) => number
  readonly follow: Align['follow']
  readonly measured: NonNullable<TakeMore['measured']>
}

/** Aligned stem and what it should hold, over the frames that both have for certain. */
const rendered = async ({ frames, sound, momentAt, follow, measured }: Case) => {
  const folder = newFolder()
  const reference = Float64Array.from({ length: frames }, (_, i) => sound(i))
  const recording = Float64Array.from({ length: frames }, (_, i) => sound(momentAt(i)))
  const sources = [
    take(folder, 'ref', [reference], { depth: '32f' }),
    take(folder, 'late', [recording], { depth: '32f', measured }),
  ]
  const { plan } = await renderFor([group('g', sources, { align: { follow } })], {
    folder: path.join(folder, 'out'),
    depth: '32f',
  })
  expect(plan.sources[1]?.move.follow).not.toBeNull()
  return { plan, aligned: samplesOf(stemFile(plan, 'g_late'))[0]!, reference }
}

const rms = (samples: Float64Array): number =>
  Math.sqrt(samples.reduce((sum, x) => sum + x * x, 0) / samples.length)
const leftDb = (a: Float64Array, b: Float64Array, from: number, to: number): number =>
  20 * Math.log10(rms(a.slice(from, to).map((x, i) => x - b[from + i]!)) / rms(b.subarray(from, to)))

/** A recorder whose clock runs fast by so many ppm: its lag against the reference grows along a line through the middle. */
const drifting = (frames: number, ppm: number, lagSamples: number) => {
  const slope = ppm * 1e-6
  const middle = frames / 2
  // frame n holds the moment m with n = m + lag + slope (m - middle)
  const momentAt = (frame: number): number => (frame - lagSamples + slope * middle) / (1 + slope)
  const lagOverTime = [0.25, 0.5, 0.75].map(part => ({
    atSeconds: (part * frames) / RATE,
    lagSamples: lagSamples + slope * (part * frames - middle),
    uncertaintySamples: 0.1,
  }))
  return { momentAt, measured: { lagSamples, drift: { ppm, uncertaintyPpm: 0.1 }, lagOverTime } }
}

describe('follow: drift', () => {
  const frames = 8 * RATE

  test.each([20, -20, 200])(
    '%d ppm on a sine of 10 kHz: what is left and every spur is under -110 dB',
    async ppm => {
      const { aligned, reference } = await rendered({
        frames,
        sound: tone(10000),
        follow: 'drift',
        ...drifting(frames, ppm, 95.31),
      })
      // 10 kHz turns by 1.309 rad a frame: -110 dB left is a lag of 2.4e-6 frames, against the 0.02 that are asked for
      const left = leftDb(aligned, reference, 4096, frames - 4096)
      expect(left).toBeLessThan(-110)
      noted('null-follow', left)
      const size = 262144
      const spectrum = windowed(aligned.subarray(100000, 100000 + size))
      const line = Math.round((10000 * size) / RATE)
      const power = (bin: number): number => spectrum[2 * bin]! ** 2 + spectrum[2 * bin + 1]! ** 2
      let spur = 0
      for (let bin = 1; bin < size / 2; bin++)
        if (Math.abs(bin - line) > 12) spur = Math.max(spur, power(bin))
      expect(10 * Math.log10(spur / power(line))).toBeLessThan(-110)
    },
  )

  test('a drift of 576 frames in all, on low and high tones together: the lag is gone to 0.0001 frame', async () => {
    const sound: Sound = frame => tone(97, 0.2)(frame) + tone(1009, 0.2)(frame) + tone(5003, 0.2)(frame)
    const { aligned, reference } = await rendered({
      frames,
      sound,
      follow: 'drift',
      ...drifting(frames, 600, 480),
    })
    expect(leftDb(aligned, reference, 4096, frames - 4096)).toBeLessThan(-95)
  })

  test('the test can fail: without following, the same take does not cancel', () => {
    const { momentAt } = drifting(frames, 20, 0)
    const sound = tone(10000)
    const reference = Float64Array.from({ length: frames }, (_, i) => sound(i))
    const recording = Float64Array.from({ length: frames }, (_, i) => sound(momentAt(i)))
    expect(leftDb(recording, reference, 4096, frames - 4096)).toBeGreaterThan(0)
  })
})

/** Power spectrum under a Blackman-Harris window (side lobes under -92 dB at 4 terms; squared it is under -180 dB). */
const windowed = (samples: Float64Array): Float64Array => {
  const size = samples.length
  const input = samples.map((x, i) => {
    const a = (2 * Math.PI * i) / size
    const w = 0.35875 - 0.48829 * Math.cos(a) + 0.14128 * Math.cos(2 * a) - 0.01168 * Math.cos(3 * a)
    return x * w * w
  })
  const spectrum = new Float64Array(size + 2)
  new RealFft(size).forward(input, spectrum)
  return spectrum
}

describe('follow: steps', () => {
  const frames = 12 * RATE
  const stepAt = 6 // seconds of the reference
  const steps = [{ atSeconds: stepAt + 0.2, fromLagSamples: 95.3, toLagSamples: 109.7 }]
  // Notes with a rest of 0.3 s around the step, in which the stand was moved.
  const gate = (frame: number): number => {
    const away = Math.abs(frame / RATE - stepAt)
    return away <= 0.15 ? 0 : away >= 0.25 ? 1 : ((away - 0.15) / 0.1) ** 2 * (3 - (2 * (away - 0.15)) / 0.1)
  }
  const sound: Sound = frame => gate(frame) * (tone(440, 0.3)(frame) + tone(3000, 0.2)(frame))
  const momentAt = (frame: number): number => frame - (frame < stepAt * RATE + 100 ? 95.3 : 109.7)
  const measured = { lagSamples: 100, steps }

  test('both levels are lined up, right up to the rest in which the shift is changed', async () => {
    const { aligned, reference, plan } = await rendered({
      frames,
      sound,
      momentAt,
      follow: 'steps',
      measured,
    })
    expect(leftDb(aligned, reference, 4096, Math.round((stepAt - 0.16) * RATE))).toBeLessThan(-110)
    expect(leftDb(aligned, reference, Math.round((stepAt + 0.16) * RATE), frames - 4096)).toBeLessThan(-110)
    // the slew lies within the rest, which the measurement missed by 0.2 s
    const knots = plan.sources[1]!.move.follow!
    expect(knots).toHaveLength(2)
    expect(knots[0]!.atSeconds).toBeGreaterThan(stepAt - 0.16)
    expect(knots[1]!.atSeconds).toBeLessThan(stepAt + 0.17)
  })

  test('through a held tone there is no click above -90 dB, and the pitch bends by no more than 0.3 %', async () => {
    const held = tone(1000, 0.5)
    const { aligned, plan } = await rendered({
      frames,
      sound: held,
      momentAt: frame => frame - 95.3, // nothing moved: the slew alone is heard
      follow: 'steps',
      measured,
    })
    const [start, end] = plan.sources[1]!.move.follow!
    const middle = Math.round(((start!.atSeconds + end!.atSeconds) / 2) * RATE)
    // what is above 3 kHz anywhere around the slew: a click would have it, a bent tone has not
    const size = 32768
    const spectrum = windowed(aligned.subarray(middle - size / 2, middle + size / 2))
    let above = 0
    for (let bin = Math.round((3000 * size) / RATE); bin < size / 2; bin++) {
      above = Math.max(above, Math.hypot(spectrum[2 * bin]!, spectrum[2 * bin + 1]!))
    }
    const line = Math.hypot(...[0, 1].map(k => spectrum[2 * Math.round((1000 * size) / RATE) + k]!))
    expect(20 * Math.log10(above / line)).toBeLessThan(-90)
    // zero crossings tell the pitch: half periods of 24 frames, bent by at most 0.3 %
    const crossings: number[] = []
    for (let i = middle - 8000; i < middle + 8000; i++) {
      if (aligned[i]! < 0 !== aligned[i + 1]! < 0)
        crossings.push(i + aligned[i]! / (aligned[i]! - aligned[i + 1]!))
    }
    const halves = crossings.slice(1).map((at, i) => at - crossings[i]!)
    expect(halves.length).toBeGreaterThan(600)
    for (const half of halves) expect(Math.abs(half / 24 - 1)).toBeLessThan(0.0031)
    expect(Math.max(...halves.map(half => Math.abs(half / 24 - 1)))).toBeGreaterThan(0.0025) // it did bend
  })
})
