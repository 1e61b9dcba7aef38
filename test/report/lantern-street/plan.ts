import type { Plan, PlannedSource, PlannedStem, StemPart } from '../../../src/decide/plan.js'
import type { SessionGroup } from '../../../src/recipe/session.js'
import type { RenderedStem } from '../../../src/render/rendered.js'
import { type Invented, RATE, SECONDS, sessionSource, sha256Of } from './sources.js'

export const plannedSource = (group: string, invented: Invented, isReference: boolean): PlannedSource => {
  const { file, fileShown, facts, selection } = sessionSource(invented)
  const sure = (invented.measured?.verdict ?? 'sure') === 'sure'
  const lag = invented.lagSamples ?? 0
  return {
    key: `${group}/${invented.name}`,
    group,
    source: invented.name,
    file,
    fileShown,
    sha256: sha256Of(invented.file),
    facts,
    selection,
    channels: 1,
    isReference,
    recordedAtSamples: 0,
    move: {
      shiftSamples: isReference || !sure ? 0 : -lag,
      polarity: sure && invented.inverted ? 'inverted' : 'normal',
      verdict: invented.measured?.verdict ?? 'sure',
      because: isReference
        ? 'reference: untouched bits'
        : sure
          ? `late by ${((lag * 1000) / RATE).toFixed(3)} ms, sure`
          : 'lag unsure: as recorded',
      follow: null,
    },
    headCut: null,
  }
}

const part = (key: string, weightShown: string, gain: number, atSamples: number): StemPart => ({
  key,
  atSamples,
  gain,
  recordedAtSamples: 0,
  recordedGain: Math.abs(gain),
  weightShown,
  matchGainDb: 2.4,
  follow: null,
})

export const plannedStem = (
  kind: 'blend' | 'source',
  group: string,
  name: string,
  parts: readonly (readonly [string, string, number, number])[],
  aligned = true,
): PlannedStem => {
  const fileName = `lantern_street_${name.replace(/-/g, '_')}.wav`
  return {
    name,
    kind,
    group,
    fileName,
    file: `/songs/lantern-street/stems/${fileName}`,
    sampleRateHz: RATE,
    channels: 1,
    depth: 24,
    frames: RATE * SECONDS,
    stampSamples: 1_699_200_000,
    aligned,
    parts: parts.map(([source, weight, gain, at]) => part(`${group}/${source}`, weight, gain, at)),
    dither: kind === 'blend',
    ditherSeed: `${name}:seed`,
  }
}

export const renderedStem = (stem: PlannedStem): RenderedStem => ({
  name: stem.name,
  file: stem.file,
  bytes: 44 + 3 * stem.frames,
  sha256: sha256Of(stem.fileName),
  samplePeakDbfs: -4.2,
  truePeakDbtp: -3.9,
  loudnessLufs: -21.4,
  cuts: [],
  droppedChunks: [],
  fades: [],
})

export const planOf = (
  groups: readonly SessionGroup[],
  sources: readonly PlannedSource[],
  stems: readonly PlannedStem[],
): Plan => ({
  format: 1,
  recipe: 'recipe.yaml',
  song: 'Lantern Street',
  take: '4',
  temperatureCelsius: 21,
  tempoBpm: 92,
  folder: '/songs/lantern-street/stems',
  groups: groups.map(({ name, reference, sampleRateHz, align: { aim, hold, resolution, follow } }) => ({
    name,
    reference,
    sampleRateHz,
    aim,
    hold,
    resolution,
    follow,
    lateSamples: 0,
  })),
  sources,
  stems,
  turnDownDb: 1.5,
  ceilingDbtp: -1,
  warnings: [
    {
      code: 'CEILING',
      group: null,
      source: null,
      message: 'All blends are turned down by 1.5 dB so that none passes -1 dBTP.',
    },
  ],
})
