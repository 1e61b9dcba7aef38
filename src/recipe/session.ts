import type { PieceLayout } from './pieces/piece-layout.js'

/**
 * A checked recipe with everything filled in: absolute files, defaults, quantities as numbers. What later rooms work from.
 * Groups stand in an order in which a group that is a source of another comes before it.
 */
export interface Session {
  /** Absolute path of the recipe, and the same as the user wrote it. */
  readonly recipeFile: string
  readonly recipeShown: string
  readonly song: string
  readonly take: string | null
  readonly tempoBpm: number | null
  /** Beats of the tempo in a bar. */
  readonly beatsInBar: number
  readonly temperatureCelsius: number
  readonly groups: readonly SessionGroup[]
  readonly deliver: Deliver
}

export interface SessionGroup {
  readonly name: string
  readonly reference: string
  readonly sampleRateHz: number
  readonly sources: readonly SessionSource[]
  readonly align: Align
  /** Other recordings that nothing was moved between; null where the recipe names none. */
  readonly setup: Setup | null
  readonly blends: readonly Blend[]
}

/** Recordings between which nothing was moved: their lags may be measured as one. */
export interface Setup {
  /** Recipes of the same name in `folder` and below belong to it; both null where the recipe names no setup. */
  readonly name: string | null
  /** Absolute: where the name is written, be it in a base. */
  readonly folder: string | null
  /** Takes of this song as the recipe lists them. */
  readonly takes: readonly string[]
  /** Whether other recipes and their recordings may lie outside their folder trees. */
  readonly allowOutside: boolean
}

export type Via = 'direct' | 'pickup' | 'mic' | 'reamp'

export type SessionSource = FileSource | GroupSource

interface SourceCommon {
  readonly name: string
  readonly polarity: 'measured' | 'as-recorded' | 'inverted'
  readonly lag: 'measured' | 'as-recorded' | { readonly samples: number }
  /** Left that many frames late after alignment, on purpose; 0 by default, may be negative. */
  readonly nudgeSamples: number
  /** Distance of the microphone from the instrument as told in the recipe, metres. */
  readonly distanceMetres: number | null
}

export interface FileSource extends SourceCommon {
  readonly kind: 'file'
  /** Absolute path; and the path as it stands in the recipe with placeholders filled in. With pieces: of the first, and of all. */
  readonly file: string
  readonly fileShown: string
  readonly via: Via | null
  readonly selection: ChannelSelection
  /** Of the file; with pieces, of what is laid from them. */
  readonly facts: WaveFacts
  /** The pieces that `selection.laid` is laid from, in its order; left out where the source is one file. */
  readonly pieces?: readonly PieceRecording[]
  /** A recording of the slate through this path, where it has a file of its own. */
  readonly slate: SlateRecording | null
}

/** One file of a source in pieces. */
export interface PieceRecording {
  readonly file: string
  readonly fileShown: string
  readonly facts: WaveFacts
  /** What the recipe says of this piece alone; left out = as of the source. */
  readonly polarity?: SourceCommon['polarity']
  readonly lag?: SourceCommon['lag']
}

/** A source by what is stated of one of its pieces. `piece`: its number in the recipe, from 1; 1 for a source that is one file. */
export const sourceOfPiece = <Source extends SessionSource>(source: Source, piece: number): Source => {
  const own = source.kind === 'file' ? source.pieces?.[piece - 1] : undefined
  if (own === undefined) return source
  return { ...source, polarity: own.polarity ?? source.polarity, lag: own.lag ?? source.lag }
}

/** The files behind a source, each once: its own, or those of its pieces. */
export const filesOf = ({
  file,
  selection,
}: {
  readonly file: string
  readonly selection: ChannelSelection
}): readonly string[] =>
  selection.laid === undefined ? [file] : [...new Set(selection.laid.pieces.map(piece => piece.file))]

export interface SlateRecording {
  readonly file: string
  readonly fileShown: string
  readonly selection: ChannelSelection
  readonly facts: WaveFacts
}

/** Another group that is lined up in itself first and then moves as one; measured by its reference. */
export interface GroupSource extends SourceCommon {
  readonly kind: 'group'
  readonly group: string
}

/**
 * What of a recording makes the source. Its channels: `mean` one channel, the mean of all; `all` a linked set; `pick` one, from 0.
 * `laid`: not one file but several, laid into one timeline; left out for one file. The channels are then those of each piece.
 */
export type ChannelSelection = (
  | { readonly kind: 'all' }
  | { readonly kind: 'mean' }
  | { readonly kind: 'pick'; readonly index: number }
) & { readonly laid?: PieceLayout }

/** Number of channels that a selection yields from a file of `channels` channels. */
export const selectedChannels = (selection: ChannelSelection, channels: number): number =>
  selection.kind === 'all' ? channels : 1

/** What the recipe room needs to know of a file to check its meaning; `src/wave` tells it. */
export interface WaveFacts {
  readonly sampleRateHz: number
  readonly channels: number
  readonly frames: number
  /** Container bits of one sample: 8, 16, 24, 32, 64. */
  readonly bitDepth: number
  readonly sampleFormat: 'int' | 'float'
  /** Start of the file since midnight in frames from bext or iXML; null without a stamp. Whole, below 2^53. */
  readonly stampSamples: number | null
}

export interface Align {
  readonly aim: 'arrival' | 'fullness'
  readonly searchSeconds: number
  /** Stretches of the file's own time to measure in, in seconds; null = everything played. */
  readonly passage: readonly { readonly startSeconds: number; readonly endSeconds: number }[] | null
  readonly hold: 'reference' | 'latest'
  readonly resolution: 'fraction' | 'sample'
  readonly follow: 'nothing' | 'drift' | 'steps'
  /** A slate was played through all paths of the group and stands somewhere in their files. */
  readonly slate: boolean
}

export interface Blend {
  readonly name: string
  readonly parts: readonly BlendPart[]
  readonly match: 'loudness' | 'rms' | 'none'
  readonly aligned: boolean
}

/** `share`: amplitude weight, already scaled so that a blend's shares sum to 1. `gain`: plain gain in dB. */
export type BlendPart =
  | { readonly source: string; readonly kind: 'share'; readonly share: number }
  | { readonly source: string; readonly kind: 'gain'; readonly gainDb: number }

export type Depth = 16 | 24 | 32 | '32f'

export interface Deliver {
  /** Absolute. */
  readonly folder: string
  /** null = the deepest source, at least 24; settled in the plan. */
  readonly depth: Depth | null
  /** Single aligned sources to deliver beside the blends. */
  readonly stems: 'all' | 'none' | readonly { readonly group: string; readonly source: string }[]
  readonly ceilingDbtp: number
  /** Name template as in the recipe, `{song}_{stem}` by default. */
  readonly nameTemplate: string
  /** Wishes for the report: the passage that it plays, and whether it says when it was made. */
  readonly report: {
    readonly listen: { readonly startSeconds: number; readonly endSeconds: number } | null
    readonly dated: boolean
  }
}
