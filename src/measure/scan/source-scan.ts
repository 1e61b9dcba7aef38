import type { ChannelSelection } from '../../recipe/session.js'
import type { Warning } from '../../terms/warning.js'
import type { Hum } from '../measurement.js'
import type { Activity } from './activity.js'
import type { ClippedRun } from './clipping.js'
import type { CopiedChannel } from './copied-channels.js'
import type { Dropout } from './dropouts.js'

export interface ScanInput {
  /** Absolute path. */
  readonly file: string
  readonly selection: ChannelSelection
  /** Checksum of the whole file, where it is known already; else it is made. */
  readonly sha256?: string
}

/** Health of one source by itself: what one reading of its file tells. Levels are of the selected channels. Plain data. */
export interface SourceScan {
  /** Of the whole file, 64 hexadecimal digits. */
  readonly sha256: string
  /** After the selection. */
  readonly channels: number
  readonly frames: number
  readonly sampleRateHz: number
  /**
   * BS.1770 integrated, every channel with weight 1 (they are microphones, not loudspeakers); one channel counts once. Null under
   * 400 ms and where nothing is above -70 LUFS.
   */
  readonly loudnessLufs: number | null
  /** 20 log10 of the root mean square over all channels; a full-scale sine has -3.01. Null for digital silence. */
  readonly rmsDbfs: number | null
  /** Over all channels; null for digital silence. */
  readonly samplePeakDbfs: number | null
  /** BS.1770 annex 2, 4 points per frame; null for digital silence. */
  readonly truePeakDbtp: number | null
  /** What the mean over everything and the middle one of the means of 50 ms have in common, full scale 1, with sign: of the
   *  channel where it is largest. */
  readonly dcOffset: number
  /** Number over all channels; the first of them are listed in `clips`. */
  readonly clippedRuns: number
  readonly clips: readonly ClippedRun[]
  /** Number over all channels; the first of them are listed in `dropouts`. */
  readonly droppedStretches: number
  readonly dropouts: readonly Dropout[]
  /** True where no stretch of 50 ms reaches -70 dBFS (rms): nothing to measure. */
  readonly silent: boolean
  /** Channels of a linked set that hold next to nothing while others play, from 0; empty where all play or none does. */
  readonly deadChannels: readonly number[]
  /** Channels of a linked set that hold the same as an earlier one; empty for a single channel. */
  readonly copiedChannels: readonly CopiedChannel[]
  /** From where to where something sounds, seconds of the file's own time; null where nothing does. */
  readonly sound: { readonly startSeconds: number; readonly endSeconds: number } | null
  /** Mains hum in the gaps; null without gaps, and where it does not stand out of the noise. */
  readonly hum: Hum | null
  readonly activity: Activity
  /** What the engineer should know; group and source are null here, for the caller to fill in. The file's own warnings
   *  (truncated, unfinished, metadata) come from opening it and are not repeated. */
  readonly warnings: readonly Warning[]
}
