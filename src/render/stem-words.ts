import type { Plan, PlannedSource, PlannedStem, StemPart } from '../decide/plan.js'
import { carriedChunks } from '../wave/carried-chunks.js'
import { codingHistoryLine, type StemMetadata } from '../wave/stem-metadata.js'
import { openWave, type WaveFile } from '../wave/wave-file.js'
import type { StemMix } from './stem-mix.js'

/** What a stem's metadata says of the song. */
export interface SongWords {
  readonly song: string
  readonly take: string | null
}

/** Song and take as every stem carries them. */
export const songWords = ({ song, take }: Plan): SongWords => ({ song, take })

/** The part of a stem whose recording's metadata it carries on; null for a stem without parts. */
const carryingPart = (stem: PlannedStem, sources: readonly PlannedSource[]): StemPart | null => {
  const isReference = (key: string): boolean =>
    sources.some(source => source.key === key && source.isReference && source.group === stem.group)
  return stem.parts.find(({ key }) => isReference(key)) ?? stem.parts[0] ?? null
}

/**
 * Nearest whole frame: what a marker or a text says of the sound holds as well half a frame beside. Null where the shift changes, and for
 * a source in pieces: the frames of a file are not those of what is laid from several.
 */
const frameOf = (part: StemPart, { selection }: PlannedSource): number | null =>
  part.follow === null && selection.laid === undefined ? Math.round(part.atSamples) : null

/**
 * What is left behind of the metadata that a stem would carry on, by the ids of the chunks.
 * @throws SumwellError WAVE_… where the recording cannot be read
 */
export const droppedChunksOf = (stem: PlannedStem, sources: readonly PlannedSource[]): readonly string[] => {
  const part = carryingPart(stem, sources)
  const source = sources.find(({ key }) => key === part?.key)
  if (part === null || source === undefined) return []
  const file = openWave(source.file)
  file.close()
  return carriedChunks(file.metadata, frameOf(part, source), stem.frames).dropped
}

/**
 * The recording whose metadata the stem carries on: the source itself, or for a blend the reference of its group where it is a part, else
 * the first part. Null for a stem without parts.
 */
export const carriedPart = (
  stem: PlannedStem,
  sources: readonly PlannedSource[],
  mix: StemMix,
): { readonly file: WaveFile; readonly atFrame: number | null; readonly isWhole: boolean } | null => {
  const part = carryingPart(stem, sources)
  const open = mix.parts.find(one => one.part.key === part?.key)
  const planned = sources.find(({ key }) => key === part?.key)
  if (part === null || open === undefined || planned === undefined) return null
  const { source } = open
  return {
    file: source.file,
    atFrame: frameOf(part, planned),
    isWhole: source.channels === source.facts.channels,
  }
}

/** Everything the file says about itself. The same words for the same plan: no date, no version, no machine. */
export const stemWords = (
  stem: PlannedStem,
  { song, take }: SongWords,
  carried: ReturnType<typeof carriedPart>,
): StemMetadata => {
  const name = stem.name
  const title = `${song}${take === null ? '' : `, take ${take}`}: ${name}`
  const done = stem.kind === 'source' ? 'aligned' : stem.aligned ? 'aligned blend' : 'blend as recorded'
  const history = codingHistoryLine(stem.sampleRateHz, stem.depth, stem.channels, `Sumwell ${done} ${name}`)
  return {
    description: title,
    stampSamples: stem.stampSamples,
    originator: 'Sumwell',
    codingHistory: [history],
    ...(carried === null ? {} : { reference: carried.file.metadata, referenceAtFrame: carried.atFrame }),
    trackNames: trackNames(stem, carried),
  }
}

const trackNames = (stem: PlannedStem, carried: ReturnType<typeof carriedPart>): readonly string[] => {
  if (stem.channels === 1) return [stem.name]
  const told = carried?.isWhole === true ? (carried.file.metadata.ixml?.trackNames ?? []) : []
  const sides = stem.channels === 2 ? ['left', 'right'] : []
  return Array.from({ length: stem.channels }, (_, channel) => {
    const own = told.find(track => track.channel === channel + 1)?.name
    return `${stem.name} ${own !== undefined && own !== '' ? own : (sides[channel] ?? String(channel + 1))}`
  })
}

/** Loudspeaker positions of a stem, where a recording with as many channels states them. */
export const channelMaskOf = (stem: PlannedStem, mix: StemMix): number | undefined => {
  const masks = mix.parts
    .filter(({ source, channels }) => channels === stem.channels && source.facts.channels === channels)
    .map(({ source }) => source.file.format.channelMask)
  return masks.find(mask => mask !== null && mask !== 0) ?? undefined
}
