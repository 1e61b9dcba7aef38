import type { GroupTask } from '../../src/measure/group/group-input.js'
import { measureTraces } from '../../src/measure/group/measure-traces.js'
import { solveLags } from '../../src/measure/group/solve.js'
import { type OverTime, overTime } from '../../src/measure/time/over-time.js'
import { judgePair } from '../../src/measure/verdict/judge-pair.js'
import { inPlace } from './in-place.js'
import { movedCopy } from './moving.js'
import { random, whiteNoise } from './random.js'
import * as responses from './responses.js'
import { room } from './room.js'
import { groove, tune } from './sounds.js'
import { through } from './spectrum.js'

export const MOVING_RATE_HZ = 48000
export const MOVING_KINDS = ['still', 'register', 'drift', 'fast-drift', 'step', 'jump', 'sway'] as const
export type MovingKind = (typeof MOVING_KINDS)[number]

/** Music through loudspeaker and room whose lag runs as told; what is true of it. */
export interface MovingCase {
  readonly reference: Float64Array
  readonly source: Float64Array
  readonly lagAt: (seconds: number) => number
  readonly ppm: number
  readonly step: { readonly atSeconds: number; readonly bySamples: number } | null
}

const AIR = 100

export const movingCase = (kind: MovingKind, seed: string, seconds: number): MovingCase => {
  const u = random(`moving ${kind} ${seed}`)
  const frames = seconds * MOVING_RATE_HZ
  const part = (name: string, lowestHz: number, brightness: number): Float64Array =>
    tune(frames, MOVING_RATE_HZ, `${seed} ${name}`, {
      lowestHz,
      brightness,
      attack: 0.3,
      stepSeconds: 0.3,
      holdSeconds: 0.8,
      inharmonicity: 1e-4,
    })
  const drums = (): Float64Array =>
    groove(frames, MOVING_RATE_HZ, seed, {
      ...{ stepSeconds: 0.21, steps: 16, pitchHz: 120, tone: 1, noise: 0.3 },
      ...{ seconds: 0.08, dynamics: 0.5, pattern: seed },
    })
  const low = kind === 'register' ? part('low', 41, 3) : null
  const dry =
    low !== null
      ? ((high: Float64Array) => low.map((v, n) => (n < frames / 2 ? v : high[n]!)))(part('high', 330, 6))
      : u() < 0.3
        ? drums()
        : part('tune', 60 * (1 + 4 * u()), 6)
  const sign = u() < 0.5 ? 1 : -1
  const ppm = kind === 'drift' ? 20 * (u() - 0.5) : kind === 'fast-drift' ? sign * (30 + 170 * u()) : 0
  const atSeconds = seconds * (0.2 + 0.6 * u())
  const bySamples = sign * (kind === 'step' ? 3 + 20 * u() : 60 + 900 * u())
  const step = kind === 'step' || kind === 'jump' ? { atSeconds, bySamples } : null
  const phase = 6 * u()
  const lagAt = (t: number): number => {
    if (step !== null) return AIR + (t < step.atSeconds ? 0 : step.bySamples)
    // 3 cm at 0.2 Hz.
    if (kind === 'sway') return AIR + 4.2 * Math.sin(2 * Math.PI * 0.2 * t + phase)
    return AIR + ppm * 1e-6 * MOVING_RATE_HZ * t
  }
  const space = room(seed, MOVING_RATE_HZ, {
    rt60Seconds: 0.4,
    distanceMetres: 0.8,
    strongest: 0.3,
    tailDb: -15,
  })
  const path = responses.multiply(
    responses.ventedBox(80),
    responses.rollOff(7000),
    responses.reflections(space.reflections),
  )
  const heard = through(movedCopy(dry, MOVING_RATE_HZ, lagAt), MOVING_RATE_HZ, 9600, path)
  const noise = (name: string, level: number, x: Float64Array): Float64Array => {
    const hiss = whiteNoise(frames, `${name} ${kind} ${seed}`)
    return x.map((v, n) => v + level * hiss[n]!)
  }
  return { reference: noise('a', 1e-4, dry), source: noise('b', 3e-4, heard), lagAt, ppm, step }
}

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
