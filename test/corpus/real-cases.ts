import type { CorpusCase } from './case.js'
import { directOverLaterDb, isKnowable, octavesAbove, type PathFacts } from './knowable.js'
import { gaussian, random } from './random.js'
import { FULL_BAND, LOW_ONLY, RECORDING_RATE_HZ, recording } from './recordings.js'
import * as responses from './responses.js'
import { room } from './room.js'
import { PHRASES, SAMPLED, sampledPhrase } from './sampled.js'
import { complexTransform, powerOfTwoAtLeast, through } from './spectrum.js'

const RATE = RECORDING_RATE_HZ
const SECONDS = 8

/** Which cases: any instrument through any path by default. */
export interface RealOptions {
  /** Bass and bass drum alone. */
  readonly lowOnly?: boolean
  /** A plain delay with noise, nothing else. */
  readonly still?: boolean
  /** Lines on sampled instruments in place of recordings, the bleed too (sampled.ts). */
  readonly sampled?: boolean
}

/**
 * A real recording heard through a direct path and through loudspeaker, air, room and microphone. Everything is drawn from the
 * seed: box (closed 2nd order or vented 4th), break-up, roll-off, presence, nearness, room, overdrive, compression, bleed,
 * noise, gain, polarity, 0 … 40 ms of air.
 */
export const realCase = (seed: string, options: RealOptions = {}): CorpusCase => {
  const u = random(`real ${seed}`)
  const pick = <T>(list: readonly T[]): T => list[Math.floor(u() * list.length)]!
  const between = (low: number, high: number): number => low + (high - low) * u()
  const played = (): { name: string; sound: Float64Array } => {
    if (options.sampled !== true) {
      const name = pick(FULL_BAND)
      return { name, sound: performance(name, u) }
    }
    const name = pick(SAMPLED)
    return { name, sound: sampledPhrase(name, Math.floor(u() * PHRASES)).slice(0, SECONDS * RATE) }
  }
  const lowName = options.lowOnly === true ? pick(LOW_ONLY) : null
  const { name, sound: dry } = lowName === null ? played() : { name: lowName, sound: performance(lowName, u) }
  const polarity = u() < 0.5 ? 'normal' : 'inverted'
  const lagSeconds = between(0, 0.0385)
  const sign = polarity === 'normal' ? 1 : -1
  const vented = u() < 0.5
  const distance = Math.max(0.1, lagSeconds * 343)
  const strongestDb = between(-14, -3)
  const rt60Seconds = between(0.2, 0.8)
  const tailDb = between(-20, -6)
  const space = room(seed, RATE, {
    rt60Seconds,
    distanceMetres: distance,
    strongest: 10 ** (strongestDb / 20),
    tailDb,
  })
  const path = options.still
    ? responses.air(lagSeconds)
    : responses.multiply(
        vented
          ? responses.ventedBox(between(35, 110))
          : responses.highPass(between(40, 130), between(0.6, 1.2)),
        responses.bell(between(1200, 4500), between(2, 9), between(2, 6)),
        responses.rollOff(between(3500, 16000)),
        responses.bell(between(3000, 6000), between(0, 6), 1),
        responses.lowShelf(between(80, 250), between(0, 8)),
        responses.highPass(between(15, 60)),
        responses.reflections(space.reflections),
        responses.air(lagSeconds),
      )
  const drive = options.still || u() < 0.6 ? 0 : between(1, 6)
  const squeeze = options.still || u() < 0.6 ? 1 : between(1.5, 4)
  const driven = overdriven(compressed(dry, squeeze), drive)
  let heard = through(driven, RATE, Math.round(0.2 * RATE), f => path(f))
  if (!options.still) heard = add(heard, convolved(heard, space.tail))
  const { sound: bleed } = played()
  const bleedDb = options.still ? -200 : between(-30, -10)
  const noiseDb = -between(20, 60)
  const loud = rms(heard)
  const bled = scaled(bleed, (loud / rms(bleed)) * 10 ** (bleedDb / 20))
  const volume = 10 ** (between(-18, 6) / 20)
  const source = noisy(add(heard, bled), noiseDb, `${seed} source`).map(v => v * sign * volume)
  const bleedBack = scaled(bleed, (rms(dry) / rms(bleed)) * 10 ** ((bleedDb - 20) / 20))
  const reference = noisy(
    add(dry, delayedWhole(bleedBack, Math.round(between(0, 900)))),
    noiseDb - 10,
    `${seed} reference`,
  )
  const facts: PathFacts = {
    directOverLaterDb: options.still === true ? Number.POSITIVE_INFINITY : directOverLaterDb(space, tailDb),
    sharedOctavesAbove1kHz: octavesAbove(1000, RATE, [
      { instrument: dry, rest: bleedBack, noiseDb: noiseDb - 10 },
      { instrument: heard, rest: bled, noiseDb },
    ]),
  }
  return {
    name: `${name} ${seed}${vented ? ' vented' : ''}${drive > 0 ? ' driven' : ''} ${(lagSeconds * 1000).toFixed(2)} ms`,
    kind: kindOf(options),
    sampleRateHz: RATE,
    reference,
    source,
    searchSeconds: 0.04,
    truth: { lagSamples: lagSeconds * RATE, polarity },
    knowable: isKnowable(facts),
    facts,
  }
}

const kindOf = (options: RealOptions): string => {
  if (options.still === true) return 'still'
  if (options.lowOnly === true) return 'low'
  return options.sampled === true ? 'sampled' : 'real'
}

/** The recording played several times at uneven distances and levels until eight seconds are full. */
const performance = (name: string, u: () => number): Float64Array => {
  const sample = recording(name)
  const out = new Float64Array(SECONDS * RATE)
  let at = Math.round(0.05 * RATE * (1 + u()))
  while (at < out.length) {
    const level = 0.4 + 0.6 * u()
    for (let n = 0; n < sample.length && at + n < out.length; n++)
      out[at + n] = out[at + n]! + level * sample[n]!
    at += Math.round(Math.min(sample.length, 1.3 * RATE) * (0.8 + 0.6 * u()))
  }
  return out
}

const rms = (signal: Float64Array): number =>
  Math.sqrt(signal.reduce((sum, v) => sum + v * v, 0) / signal.length) || 1e-9

const add = (a: Float64Array, b: Float64Array): Float64Array => a.map((v, i) => v + (b[i] ?? 0))

const scaled = (signal: Float64Array, factor: number): Float64Array => signal.map(v => v * factor)

const delayedWhole = (signal: Float64Array, frames: number): Float64Array => {
  const out = new Float64Array(signal.length)
  out.set(signal.subarray(0, signal.length - frames), frames)
  return out
}

const noisy = (signal: Float64Array, db: number, seed: string): Float64Array => {
  const noise = gaussian(`noise ${seed}`)
  const factor = rms(signal) * 10 ** (db / 20)
  return signal.map(v => v + factor * noise())
}

const overdriven = (signal: Float64Array, drive: number): Float64Array => {
  if (drive === 0) return signal
  const peak = signal.reduce((m, v) => Math.max(m, Math.abs(v)), 0)
  return signal.map(v => Math.tanh((drive * v) / peak))
}

/** Slow level control: 5 ms up, 100 ms down, so many to one above -20 dB of the peak. */
const compressed = (signal: Float64Array, ratio: number): Float64Array => {
  if (ratio === 1) return signal
  const peak = signal.reduce((m, v) => Math.max(m, Math.abs(v)), 0)
  let level = 0
  return signal.map(v => {
    const size = Math.abs(v) / peak
    level += (size - level) * (size > level ? 1 / (0.005 * RATE) : 1 / (0.1 * RATE))
    return level > 0.1 ? v * (level / 0.1) ** (1 / ratio - 1) : v
  })
}

const convolved = (signal: Float64Array, impulse: Float64Array): Float64Array => {
  const size = powerOfTwoAtLeast(signal.length + 2 * impulse.length)
  const padded = new Float64Array(2 * size)
  impulse.forEach((v, n) => {
    padded[2 * n] = v
  })
  const spectrum = complexTransform(padded)
  // A "sample rate" of `size` makes the frequency the number of the bin.
  return through(signal, size, impulse.length, k => [spectrum[2 * k]!, spectrum[2 * k + 1]!])
}
