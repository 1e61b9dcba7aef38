import type { GroupTask } from '../../src/measure/group/group-input.js'
import { measureTraces } from '../../src/measure/group/measure-traces.js'
import { solveLags } from '../../src/measure/group/solve.js'
import { type OverTime, overTime } from '../../src/measure/time/over-time.js'
import { judgePair } from '../../src/measure/verdict/judge-pair.js'
import { inPlace } from './in-place.js'
import { movedCopy } from './moving.js'
import { random, whiteNoise } from './random.js'
import { FULL_BAND, LOW_ONLY, recording } from './recordings.js'
import * as responses from './responses.js'
import { room } from './room.js'
import { groove, tune } from './sounds.js'
import { throughBlocks } from './through-blocks.js'

export const MOVING_RATE_HZ = 48000
export const MOVING_KINDS = ['still', 'register', 'drift', 'fast-drift', 'step', 'jump', 'sway'] as const
export type MovingKind = (typeof MOVING_KINDS)[number]

/** Music through loudspeaker and room whose lag runs as told; what is true of it. */
export interface MovingCase {
  readonly reference: Float64Array
  readonly source: Float64Array
  /** Frames, at a time of the source. */
  readonly lagAt: (seconds: number) => number
  /** By how much the lag grows against the reference's time. */
  readonly ppm: number
  readonly step: { readonly atSeconds: number; readonly bySamples: number } | null
}

const AIR = 100

/** A take of `seconds` whose lag runs as its kind tells: seeded music through loudspeaker, room and microphone, with noise. */
export const movingCase = (kind: MovingKind, seed: string, seconds: number): MovingCase => {
  const u = random(`moving ${kind} ${seed}`)
  const between = (low: number, high: number): number => low + (high - low) * u()
  const frames = Math.round(seconds * MOVING_RATE_HZ)
  const dry = kind === 'register' ? twoRegisters(frames, seed, u) : music(frames, seed, u)
  const sign = u() < 0.5 ? 1 : -1
  const ppm = kind === 'drift' ? between(-10, 10) : kind === 'fast-drift' ? sign * between(30, 200) : 0
  const atSeconds = seconds * between(0.2, 0.8)
  const bySamples = sign * (kind === 'step' ? between(3, 23) : between(60, 960))
  const step = kind === 'step' || kind === 'jump' ? { atSeconds, bySamples } : null
  const phase = between(0, 6)
  const lagAt = (t: number): number => {
    if (step !== null) return AIR + (t < step.atSeconds ? 0 : step.bySamples)
    if (kind === 'sway') return AIR + SWAY_FRAMES * Math.sin(2 * Math.PI * SWAY_HZ * t + phase)
    // `ppm` counts by the reference's clock, `t` by the source's, which is longer by as much.
    return AIR + ((ppm * 1e-6) / (1 + ppm * 1e-6)) * MOVING_RATE_HZ * t
  }
  const space = room(seed, MOVING_RATE_HZ, {
    rt60Seconds: between(0.2, 0.6),
    distanceMetres: 0.8,
    strongest: 10 ** (between(-15, -5) / 20),
    tailDb: between(-22, -10),
  })
  const path = responses.multiply(
    u() < 0.5
      ? responses.ventedBox(between(40, 110))
      : responses.highPass(between(40, 130), between(0.6, 1.2)),
    responses.bell(between(1200, 4500), between(0, 6), between(2, 5)),
    responses.rollOff(between(4000, 16000)),
    responses.reflections(space.reflections),
  )
  space.tail[0] = 1
  const heard = throughBlocks(
    movedCopy(dry, MOVING_RATE_HZ, lagAt),
    MOVING_RATE_HZ,
    path,
    space.tail.subarray(0, TAIL_FRAMES),
  )
  return {
    reference: noisy(dry, between(-75, -50), u),
    source: noisy(heard, between(-60, -25), u),
    lagAt,
    ppm,
    step,
  }
}

/** 3 cm of air at 48 kHz and 20 °C, up and down. */
const SWAY_FRAMES = 4.2
const SWAY_HZ = 0.2
const TAIL_FRAMES = 24000

/** A tune, a drum pattern, or a real recording played again and again. */
const music = (frames: number, seed: string, u: () => number): Float64Array => {
  const kind = u()
  if (kind < 0.35) return line(frames, `${seed} tune`, 60 * (1 + 4 * u()), 6)
  if (kind < 0.55) {
    return groove(frames, MOVING_RATE_HZ, seed, {
      ...{ stepSeconds: 0.21, steps: 16, pitchHz: 120, tone: 1, noise: 0.3 },
      ...{ seconds: 0.08, dynamics: 0.5, pattern: seed },
    })
  }
  return played(frames, FULL_BAND[Math.floor(u() * FULL_BAND.length)]!, u)
}

/** Bass first, then another instrument more than two octaves above: a path's group delay makes the arrival of one late. */
const twoRegisters = (frames: number, seed: string, u: () => number): Float64Array => {
  const change = Math.round(frames * (0.3 + 0.4 * u()))
  const low = u() < 0.5 ? line(frames, `${seed} low`, 41, 3) : played(frames, pick(LOW_ONLY, u), u)
  const high = u() < 0.5 ? line(frames, `${seed} high`, 330, 6) : played(frames, pick(FULL_BAND, u), u)
  return low.map((v, n) => (n < change ? v : high[n]!))
}

const pick = <T>(list: readonly T[], u: () => number): T => list[Math.floor(u() * list.length)]!

const line = (frames: number, seed: string, lowestHz: number, brightness: number): Float64Array =>
  tune(frames, MOVING_RATE_HZ, seed, {
    ...{ lowestHz, brightness, attack: 0.3, stepSeconds: 0.3, holdSeconds: 0.8, inharmonicity: 1e-4 },
  })

/** At uneven distances and levels until the take is full. */
const played = (frames: number, name: string, u: () => number): Float64Array => {
  const sample = recording(name)
  const out = new Float64Array(frames)
  let at = Math.round(0.05 * MOVING_RATE_HZ * (1 + u()))
  while (at < frames) {
    const level = 0.2 + 0.3 * u()
    const end = Math.min(sample.length, frames - at)
    for (let n = 0; n < end; n++) out[at + n] = out[at + n]! + level * sample[n]!
    at += Math.round(Math.min(sample.length, 1.3 * MOVING_RATE_HZ) * (0.6 + 0.8 * u()))
  }
  return out
}

/** White noise so many dB under the rms of the sound: one long stretch, read from a place of its own each time. */
const noisy = (signal: Float64Array, db: number, u: () => number): Float64Array => {
  hiss ??= whiteNoise(HISS_FRAMES, 'moving cases')
  const noise = hiss
  let energy = 0
  for (const v of signal) energy += v * v
  const level = Math.sqrt(energy / signal.length) * 10 ** (db / 20)
  const start = Math.floor(u() * HISS_FRAMES)
  return signal.map((v, n) => v + level * noise[(start + n) % HISS_FRAMES]!)
}

const HISS_FRAMES = 1 << 21
let hiss: Float64Array | null = null

export interface MovingResult extends OverTime {
  readonly lagSamples: number
  readonly verdict: string
}

/** What the program tells of such a case; null where it has no lag. */
export const measureMoving = async (c: MovingCase): Promise<MovingResult | null> => {
  const member = (name: string) => ({ name, channels: 1, frames: c.reference.length, startFrame: 0 })
  const task: GroupTask = {
    sampleRateHz: MOVING_RATE_HZ,
    members: [member('reference'), member('source')],
    reference: 0,
    searchSeconds: 0.04,
    passage: null,
  }
  const measured = await measureTraces(task, inPlace([[c.reference], [c.source]]))
  const lagSamples = solveLags(measured).lagSamples[1]
  if (lagSamples === null || lagSamples === undefined) return null
  const { lag } = judgePair(measured.pairs[0]!, {
    sampleRateHz: MOVING_RATE_HZ,
    searchSamples: measured.searchSamples,
  })
  return { ...overTime(measured, 1, lagSamples), lagSamples, verdict: lag }
}
