import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { afterAll } from 'vitest'
import { decide } from '../../src/decide/decide.js'
import type { Plan } from '../../src/decide/plan.js'
import { measureSession } from '../../src/measure/measure-session.js'
import type { SongMeasurement } from '../../src/measure/measurement.js'
import { measureTasks } from '../../src/measure/tasks.js'
import { loadSession } from '../../src/recipe/load-session.js'
import type { Depth, Session } from '../../src/recipe/session.js'
import { renderPlan } from '../../src/render/render-plan.js'
import { surveyWith } from '../../src/render/survey-with.js'
import { renderTasks } from '../../src/render/tasks.js'
import { inProcess } from '../../src/terms/task.js'
import { probeWave } from '../../src/wave/probe.js'
import { createWave } from '../../src/wave/wave-writer.js'
import { whiteNoise } from '../corpus/random.js'
import { bell, multiply, rollOff } from '../corpus/responses.js'
import { delayed, through } from '../corpus/spectrum.js'

export const RATE = 48000

const folders: string[] = []
afterAll(() => {
  for (const folder of folders) rmSync(folder, { recursive: true, force: true })
})

export const newSongFolder = (): string => {
  const folder = mkdtempSync(join(tmpdir(), 'sumwell-pieces-'))
  folders.push(folder)
  return folder
}

/** A sound without what lies above 19 kHz, where a fractional move is no longer exact; as it is up to 15 kHz. */
export const withinBand = (sound: Float64Array): Float64Array => through(sound, RATE, 4800, band)

const band = (hz: number): readonly [number, number] => [
  hz < 15000 ? 1 : hz > 19000 ? 0 : (1 + Math.cos((Math.PI * (hz - 15000)) / 4000)) / 2,
  0,
]

/** Noise in strokes through a resonance: something like a plucked instrument, the same for the same seed. */
export const played = (seed: string, seconds: number): Float64Array => {
  const strokes = whiteNoise(Math.round(seconds * RATE), seed).map(
    (v, n) => 0.15 * v * Math.exp(-(n % 17000) / 5000),
  )
  return through(strokes, RATE, 4800, multiply(bell(900, 8, 1), rollOff(6000)))
}

/** A path of its own: late, with its own noise. */
export const path = (
  sound: Float64Array,
  lagSamples: number,
  seed: string,
  noiseGain = 1e-5,
  sign: 1 | -1 = 1,
): Float64Array => {
  const noise = whiteNoise(sound.length, seed)
  return delayed(sound, lagSamples).map((v, n) => sign * v + noiseGain * noise[n]!)
}

export const write = (
  folder: string,
  name: string,
  planar: readonly Float64Array[],
  { depth = '32f', stampSamples = null }: { depth?: Depth; stampSamples?: number | null } = {},
): void => {
  const file = join(folder, name)
  mkdirSync(dirname(file), { recursive: true })
  const scale = depth === '32f' ? null : 2 ** (depth - 1)
  const writer = createWave({
    ...{ path: file, sampleRateHz: RATE, channels: planar.length, frames: planar[0]!.length, depth },
    metadata: { description: name, stampSamples, originator: 'Sumwell', codingHistory: [] },
  })
  const word = (value: number): number =>
    scale === null ? Math.fround(value) : Math.round(value * scale) / scale
  writer.write(
    planar.map(samples => samples.map(word)),
    planar[0]!.length,
  )
  writer.commit()
}

export const sessionOf = (folder: string, recipe: string): Promise<Session> => {
  writeFileSync(join(folder, 'song.yaml'), recipe)
  return loadSession(join(folder, 'song.yaml'), { probe: probeWave })
}

export interface MadeSong {
  readonly session: Session
  readonly measurement: SongMeasurement
  readonly plan: Plan
}

const tasks = { measure: inProcess(measureTasks), render: inProcess(renderTasks) }

export const planSong = async (folder: string, recipe: string): Promise<MadeSong> => {
  const session = await sessionOf(folder, recipe)
  const measurement = await measureSession(session, tasks.measure)
  return { session, measurement, plan: await decide(session, measurement, surveyWith(tasks.render)) }
}

export const makeSong = async (folder: string, recipe: string): Promise<MadeSong> => {
  const made = await planSong(folder, recipe)
  await renderPlan(made.plan, tasks.render)
  return made
}

/** Level of a stretch, dB of its mean square. */
export const levelDb = (samples: Float64Array): number =>
  10 * Math.log10(samples.reduce((sum, v) => sum + v * v, 0) / samples.length + 1e-30)
