import { decide } from '../../../src/decide/decide.js'
import type { Plan, PlannedSource, StemPart } from '../../../src/decide/plan.js'
import type { HeadPeak, StemPeaks, Survey } from '../../../src/decide/survey.js'
import type {
  GroupMeasurement,
  SongMeasurement,
  SourceMeasurement,
} from '../../../src/measure/measurement.js'
import type {
  Align,
  Blend,
  Deliver,
  FileSource,
  GroupSource,
  Session,
  SessionGroup,
  SessionSource,
  WaveFacts,
} from '../../../src/recipe/session.js'

export const RATE = 48000

type Measured = Partial<Omit<SourceMeasurement, 'name'>>

/** One source of a made-up song: what the recipe says, and what was measured. */
export interface Told {
  readonly source: SessionSource
  readonly measured: SourceMeasurement
}

const measurement = (name: string, more: Measured): SourceMeasurement => ({
  name,
  file: `audio/${name}.wav`,
  fromGroup: null,
  sha256: name.padEnd(64, '0'),
  channels: 1,
  frames: 10 * RATE,
  bitDepth: 24,
  loudnessLufs: -20,
  rmsDbfs: -22,
  samplePeakDbfs: -12,
  truePeakDbtp: -12,
  dcOffset: 0,
  clippedRuns: 0,
  hum: null,
  startOffsetSamples: 0,
  lagSamples: 0,
  lagUncertaintySamples: 0.04,
  arrivalSpreadSamples: 1,
  lagMs: 0,
  distanceMetres: 0,
  polarity: 'normal',
  verdict: 'sure',
  lagVerdict: 'sure',
  polarityVerdict: 'sure',
  reason: null,
  coherence: 0.8,
  candidates: [],
  drift: null,
  steps: null,
  swaySamples: null,
  lagOverTime: null,
  advice: null,
  slate: null,
  pooled: null,
  ...more,
})

const common = (name: string) => ({
  name,
  polarity: 'measured' as const,
  lag: 'measured' as const,
  nudgeSamples: 0,
  distanceMetres: null,
})

/** A recorded file; `measured` beats the defaults, the facts follow it. */
export const file = (
  name: string,
  measured: Measured = {},
  recipe: Partial<Omit<FileSource, 'facts'>> & { readonly facts?: Partial<WaveFacts> } = {},
): Told => {
  const found = measurement(name, measured)
  const facts: WaveFacts = {
    sampleRateHz: RATE,
    channels: found.channels,
    frames: found.frames,
    bitDepth: found.bitDepth ?? 24,
    sampleFormat: 'int',
    stampSamples: null,
    ...recipe.facts,
  }
  const source: FileSource = {
    ...common(name),
    kind: 'file',
    file: `/takes/${name}.wav`,
    fileShown: `audio/${name}.wav`,
    via: 'mic',
    selection: { kind: 'all' },
    slate: null,
    ...recipe,
    facts,
  }
  return { source, measured: found }
}

/** A group that is a source of another. */
export const inner = (
  name: string,
  group: string,
  measured: Measured = {},
  recipe: Partial<GroupSource> = {},
): Told => ({
  source: { ...common(name), kind: 'group', group, ...recipe },
  measured: measurement(name, { file: null, sha256: null, bitDepth: null, fromGroup: group, ...measured }),
})

export interface GroupMore {
  readonly align?: Partial<Align>
  readonly blends?: readonly Blend[]
  readonly sampleRateHz?: number
}

export interface ToldGroup {
  readonly group: SessionGroup
  readonly measured: GroupMeasurement
}

/** A group; its first source is the reference. */
export const group = (name: string, told: readonly Told[], more: GroupMore = {}): ToldGroup => {
  const reference = told[0]!.source.name
  const sampleRateHz = more.sampleRateHz ?? RATE
  return {
    group: {
      name,
      reference,
      sampleRateHz,
      sources: told.map(({ source }) => source),
      align: {
        aim: 'arrival',
        searchSeconds: 0.04,
        passage: null,
        hold: 'reference',
        resolution: 'fraction',
        follow: 'nothing',
        slate: false,
        ...more.align,
      },
      setup: null,
      blends: more.blends ?? [],
    },
    measured: {
      name,
      reference,
      sampleRateHz,
      sources: told.map(({ measured }) => measured),
      closureSamples: null,
    },
  }
}

/** A blend of shares (numbers, scaled to sum to 1) or of gains ("-9 dB"). */
export const blend = (
  name: string,
  parts: Readonly<Record<string, number | string>>,
  more: Partial<Blend> = {},
): Blend => {
  const shares = Object.values(parts).filter(part => typeof part === 'number')
  const total = shares.reduce((sum, share) => sum + share, 0)
  return {
    name,
    match: 'loudness',
    aligned: true,
    parts: Object.entries(parts).map(([source, part]) =>
      typeof part === 'number'
        ? { source, kind: 'share', share: part / total }
        : { source, kind: 'gain', gainDb: Number.parseFloat(part) },
    ),
    ...more,
  }
}

export const song = (
  groups: readonly ToldGroup[],
  deliver: Partial<Deliver> = {},
): { session: Session; measurement: SongMeasurement } => ({
  session: {
    recipeFile: '/recipes/song.yaml',
    recipeShown: 'song.yaml',
    song: 'Lantern Street',
    take: '4',
    tempoBpm: null,
    beatsInBar: 4,
    temperatureCelsius: 20,
    groups: groups.map(told => told.group),
    deliver: {
      folder: '/stems/lantern-street-take4',
      depth: null,
      stems: 'all',
      ceilingDbtp: -1,
      nameTemplate: '{song}_{stem}',
      report: { listen: null, dated: false },
      ...deliver,
    },
  },
  measurement: {
    recipe: 'song.yaml',
    song: 'Lantern Street',
    take: '4',
    groups: groups.map(told => told.measured),
    warnings: [],
  },
})

/** Answers from tables, and remembers what it was asked. */
export const surveyOf = (
  stems: Readonly<Record<string, StemPeaks>> = {},
  heads: Readonly<Record<string, HeadPeak>> = {},
): Survey & { readonly asked: string[] } => {
  const asked: string[] = []
  return {
    asked,
    stemPeaks: (_draft, names) => {
      asked.push(...names)
      return Promise.resolve(
        new Map(names.map(name => [name, stems[name] ?? { samplePeak: 0, truePeak: 0 }])),
      )
    },
    quietSpots: stretches => {
      asked.push(...stretches.map(({ startSeconds, endSeconds }) => `${startSeconds}…${endSeconds}`))
      return Promise.resolve(stretches.map(({ startSeconds, endSeconds }) => (startSeconds + endSeconds) / 2))
    },
    headPeaks: draft => {
      asked.push('heads')
      const cut = draft.sources.filter(source => heads[source.key] !== undefined)
      return Promise.resolve(new Map(cut.map(source => [source.key, heads[source.key]!])))
    },
  }
}

export const planOf = (
  groups: readonly ToldGroup[],
  deliver: Partial<Deliver> = {},
  survey: Survey = surveyOf(),
): Promise<Plan> => {
  const { session, measurement: measured } = song(groups, deliver)
  return decide(session, measured, survey)
}

export const sourceOf = (plan: Plan, key: string): PlannedSource => {
  const found = plan.sources.find(source => source.key === key)
  if (found === undefined) throw new Error(`no source ${key} in the plan`)
  return found
}

export const shiftsOf = (plan: Plan): Readonly<Record<string, number>> =>
  Object.fromEntries(plan.sources.map(source => [source.source, source.move.shiftSamples]))

export const stemOf = (plan: Plan, name: string): Plan['stems'][number] => {
  const found = plan.stems.find(stem => stem.name === name)
  if (found === undefined) throw new Error(`no stem ${name} in the plan`)
  return found
}

export const partOf = (plan: Plan, stem: string, key: string): StemPart => {
  const found = stemOf(plan, stem).parts.find(part => part.key === key)
  if (found === undefined) throw new Error(`no part ${key} in ${stem}`)
  return found
}

export const codesOf = (plan: Plan): readonly string[] => plan.warnings.map(warning => warning.code)
