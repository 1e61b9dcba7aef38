import { laidFacts } from '../recipe/pieces/laid-facts.js'
import { pieceWindows } from '../recipe/pieces/piece-windows.js'
import type { ChannelSelection, WaveFacts } from '../recipe/session.js'
import { fadedStretches } from '../signal/cross-fade.js'
import { openChannels } from './channel-reader.js'
import { openPieces, windowReader } from './laid-source.js'
import type { OpenOptions, WaveFile } from './wave-file.js'

/** A recording seen through its channel selection: one file, or several that are laid into one timeline. */
export interface SourceReader {
  /** Channels after selection. */
  readonly channels: number
  /** Of the whole recording. */
  readonly facts: WaveFacts
  /** The file, and for a laid recording that of the first piece; and all of them. */
  readonly file: WaveFile
  readonly files: readonly WaveFile[]
  /** Frames from start to end in which pieces are cross-faded: there, and only there, values are no longer those of a file. */
  readonly fadedFrames: readonly { readonly start: number; readonly end: number }[]
  /** As `WaveFile.read`, one array per selected channel. The mean of the channels is their sum by the lowest first, divided. */
  read(startFrame: number, into: readonly Float64Array[]): void
  close(): void
}

/**
 * Opens a source with the channels and pieces that its recipe selects. `path` of a source that is laid from pieces is that of the first.
 * @throws SumwellError as `openWave`
 */
export const openSource = (
  path: string,
  selection: ChannelSelection,
  options: OpenOptions = {},
): SourceReader => {
  if (selection.laid === undefined) {
    const reader = openChannels(path, selection, options)
    return { ...reader, files: [reader.file], fadedFrames: [] }
  }
  const windows = pieceWindows(selection.laid)
  const pieces = openPieces(windows, selection, options)
  const { channels, files } = pieces
  const facts = laidFacts(
    selection.laid,
    files.map(file => file.facts),
  )
  return {
    channels,
    facts,
    file: files.find(file => file.path === path) ?? files[0],
    files,
    fadedFrames: windows.flatMap(fadedStretches),
    read: windowReader(windows, pieces),
    close: () => {
      pieces.close()
    },
  }
}
