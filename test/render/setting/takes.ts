import fs from 'node:fs'
import os from 'node:os'
import path from 'node:path'
import { afterAll, expect } from 'vitest'
import type { Plan } from '../../../src/decide/plan.js'
import type { Deliver, Depth, FileSource } from '../../../src/recipe/session.js'
import { CHECKSUM_LIST } from '../../../src/render/checksum-list.js'
import { renderPlan } from '../../../src/render/render-plan.js'
import type { RenderedStem } from '../../../src/render/rendered.js'
import { surveyWith } from '../../../src/render/survey-with.js'
import { renderTasks } from '../../../src/render/tasks.js'
import { inProcess } from '../../../src/terms/task.js'
import { sha256OfFile } from '../../../src/wave/hash.js'
import { openWave } from '../../../src/wave/wave-file.js'
import { createWave } from '../../../src/wave/wave-writer.js'
import { file, planOf, type Told, type ToldGroup } from '../../decide/setting/song.js'

export const tasks = inProcess(renderTasks)

const folders: string[] = []
afterAll(() => {
  for (const folder of folders) fs.rmSync(folder, { recursive: true, force: true })
})

export const newFolder = (): string => {
  const folder = fs.mkdtempSync(path.join(os.tmpdir(), 'sumwell-render-'))
  folders.push(folder)
  return folder
}

export interface TakeMore {
  readonly depth?: Depth
  readonly sampleRateHz?: number
  readonly stampSamples?: number | null
  readonly measured?: Parameters<typeof file>[1]
  readonly recipe?: Partial<Omit<FileSource, 'facts'>>
}

const levelDb = (amplitude: number): number | null => (amplitude === 0 ? null : 20 * Math.log10(amplitude))

/** Values of a word of so many bits. */
export const onGrid = (samples: Float64Array, bits: number): Float64Array =>
  samples.map(sample => Math.round(sample * 2 ** (bits - 1)) / 2 ** (bits - 1))

/** Writes a recording (integers are rounded to their grid first) and says what measuring it would say. */
export const take = (
  folder: string,
  name: string,
  channels: readonly Float64Array[],
  more: TakeMore = {},
): Told => {
  const { depth = 24, sampleRateHz = 48000, stampSamples = null } = more
  const samples = depth === '32f' ? channels : channels.map(values => onGrid(values, depth))
  const frames = samples[0]!.length
  const target = path.join(folder, `${name}.wav`)
  const writer = createWave({
    path: target,
    sampleRateHz,
    channels: samples.length,
    frames,
    depth,
    metadata: {
      description: name,
      stampSamples,
      originator: 'Sumwell',
      codingHistory: [`A=ANALOGUE,T=${name}`],
    },
  })
  writer.write(samples, frames)
  const { sha256 } = writer.commit()
  let peak = 0
  for (const values of samples) for (const value of values) peak = Math.max(peak, Math.abs(value))
  const probe = openWave(target)
  probe.close()
  return file(
    name,
    {
      sha256,
      channels: samples.length,
      frames,
      bitDepth: probe.facts.bitDepth,
      samplePeakDbfs: levelDb(peak),
      truePeakDbtp: levelDb(peak * 1.2),
      ...more.measured,
    },
    { ...more.recipe, file: target, facts: probe.facts },
  )
}

/** Decides with the real survey. */
export const planFor = (
  groups: readonly ToldGroup[],
  deliver: Partial<Deliver> & { folder: string },
): Promise<Plan> => planOf(groups, deliver, surveyWith(tasks))

export const renderFor = async (
  groups: readonly ToldGroup[],
  deliver: Partial<Deliver> & { folder: string },
): Promise<{ plan: Plan; rendered: readonly RenderedStem[] }> => {
  const plan = await planFor(groups, deliver)
  return { plan, rendered: await renderPlan(plan, tasks) }
}

/** All samples of a file, one array per channel. */
export const samplesOf = (target: string): Float64Array[] => {
  const wave = openWave(target)
  const samples = Array.from({ length: wave.facts.channels }, () => new Float64Array(wave.facts.frames))
  wave.read(0, samples)
  wave.close()
  return samples
}

/** The bytes of the audio itself. */
export const audioBytes = (target: string): Buffer => {
  const wave = openWave(target)
  wave.close()
  const { dataAt, dataBytes } = wave.format
  return fs.readFileSync(target).subarray(dataAt, dataAt + dataBytes)
}

export const stemFile = (plan: Plan, name: string): string => {
  const found = plan.stems.find(stem => stem.name === name)
  if (found === undefined) throw new Error(`no stem ${name}`)
  return found.file
}

/** Name and checksum of everything in a folder, hidden files and folders too. */
export const contentsOf = (folder: string): Readonly<Record<string, string>> =>
  Object.fromEntries(
    fs
      .readdirSync(folder, { withFileTypes: true })
      .filter(({ name }) => name !== CHECKSUM_LIST)
      .map(
        entry =>
          [entry.name, entry.isFile() ? sha256OfFile(path.join(folder, entry.name)) : 'not a file'] as const,
      )
      .sort(([a], [b]) => (a < b ? -1 : 1)),
  )

/** Asserts that two runs of samples are the same, value by value (0 and -0 count as one), and how many there were. */
export const expectSame = (actual: Float64Array, expected: Float64Array, frames = expected.length): void => {
  expect(actual.length).toBe(frames)
  expect(expected.length).toBe(frames)
  expect(actual.findIndex((value, i) => value !== expected[i])).toBe(-1)
}
