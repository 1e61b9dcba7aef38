import fs from 'node:fs'
import os from 'node:os'
import path from 'node:path'
import type { Plan, PlannedSource, PlannedStem, StemPart } from '../../../src/decide/plan.js'
import type { Depth } from '../../../src/recipe/session.js'
import { renderPlan } from '../../../src/render/render-plan.js'
import { renderTasks } from '../../../src/render/tasks.js'
import { roundToGrid } from '../../../src/signal/dither.js'
import { inProcess } from '../../../src/terms/task.js'
import { toneTasks } from '../../../src/tone/tasks.js'
import type { BlendTone } from '../../../src/tone/tone.js'
import { toneOfPlan } from '../../../src/tone/tone-of-plan.js'
import { createWave } from '../../../src/wave/wave-writer.js'

/** Plans made by hand over files made by hand: what the tone room is given, without the rooms that make it. */

export const temporaryFolder = (): string => fs.mkdtempSync(path.join(os.tmpdir(), 'sumwell-tone-'))

export const writeWave = (
  file: string,
  sound: readonly Float64Array[],
  rate: number,
  depth: Depth = '32f',
): void => {
  const frames = sound[0]!.length
  const writer = createWave({
    path: file,
    sampleRateHz: rate,
    channels: sound.length,
    frames,
    depth,
    metadata: { description: 'test', stampSamples: null, originator: 'Sumwell', codingHistory: [] },
  })
  const block = sound.map(channel => channel.slice())
  if (depth !== '32f') roundToGrid(block, depth)
  writer.write(block, frames)
  writer.commit()
}

export interface SourceOf {
  readonly name: string
  readonly sound: readonly Float64Array[]
  /** Where its first frame lies as recorded; 0 by default. */
  readonly recordedAt?: number
  /** What the plan moves it by. */
  readonly shift?: number
  readonly follow?: PlannedSource['move']['follow']
}

/** Writes the sounds as 32-bit floats and plans them. */
export const plannedSources = (folder: string, rate: number, sources: readonly SourceOf[]): PlannedSource[] =>
  sources.map(({ name, sound, recordedAt = 0, shift = 0, follow = null }, i) => {
    const file = path.join(folder, `${name}.wav`)
    writeWave(file, sound, rate)
    return {
      key: `group/${name}`,
      group: 'group',
      source: name,
      file,
      fileShown: `${name}.wav`,
      sha256: '',
      facts: {
        sampleRateHz: rate,
        channels: sound.length,
        frames: sound[0]!.length,
        bitDepth: 32,
        sampleFormat: 'float',
        stampSamples: null,
      },
      selection: { kind: 'all' },
      channels: sound.length,
      isReference: i === 0,
      recordedAtSamples: recordedAt,
      move: { shiftSamples: shift, polarity: 'normal', verdict: 'sure', because: 'test', follow },
      headCut: null,
    }
  })

/** A blend: per source its gain as recorded, and its sign when delivered. Aligned by the sources' moves, or as recorded. */
export const plannedBlend = (
  folder: string,
  sources: readonly PlannedSource[],
  gains: readonly number[],
  more: Partial<PlannedStem> & { readonly signs?: readonly number[] } = {},
): PlannedStem => {
  const aligned = more.aligned ?? true
  const parts = sources.map(
    (source, i): StemPart => ({
      key: source.key,
      atSamples: source.recordedAtSamples + (aligned ? source.move.shiftSamples : 0),
      gain: gains[i]! * (aligned ? (more.signs?.[i] ?? 1) : 1),
      recordedAtSamples: source.recordedAtSamples,
      recordedGain: gains[i]!,
      weightShown: '0 dB',
      matchGainDb: 0,
      follow: aligned ? source.move.follow : null,
    }),
  )
  const name = more.name ?? 'blend'
  return {
    name,
    kind: 'blend',
    group: 'group',
    fileName: `${name}_stem.wav`,
    file: path.join(folder, `${name}_stem.wav`),
    sampleRateHz: sources[0]!.facts.sampleRateHz,
    channels: Math.max(...sources.map(source => source.channels)),
    depth: '32f',
    frames: Math.max(...sources.map(source => source.facts.frames)),
    stampSamples: null,
    aligned,
    parts,
    dither: false,
    ditherSeed: 'test',
    ...more,
  }
}

export const planOf = (
  folder: string,
  sources: readonly PlannedSource[],
  stems: readonly PlannedStem[],
): Plan => ({
  format: 1,
  recipe: 'recipe.yaml',
  song: 'Test',
  take: null,
  temperatureCelsius: 20,
  tempoBpm: null,
  folder,
  groups: [],
  sources,
  stems,
  turnDownDb: 0,
  ceilingDbtp: -1,
  warnings: [],
})

/** Tone of hand-made sources in blends: predicted, and held against the stems that the render room prints. */
export const toneOf = async (plan: Plan, render = true): Promise<readonly BlendTone[]> => {
  const rendered = render ? await renderPlan(plan, inProcess(renderTasks)) : null
  return toneOfPlan(plan, rendered, inProcess(toneTasks))
}
