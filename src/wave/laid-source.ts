import type { PieceWindow } from '../recipe/pieces/piece-windows.js'
import type { ChannelSelection } from '../recipe/session.js'
import { applyWindow } from '../signal/cross-fade.js'
import { type ChannelReader, openChannels } from './channel-reader.js'
import { BUFFER_BYTES } from './frame-reader.js'
import type { OpenOptions, WaveFile } from './wave-file.js'

/** Of one among the files of a laid recording, which share the memory for reading ahead. */
const LEAST_BUFFER_BYTES = 1 << 16

/** Several files that sound one after the other as one recording, with the cross-fades between them. */
export interface LaidReader {
  readonly channels: number
  readonly files: readonly [WaveFile, ...WaveFile[]]
  /** Fills one array per channel from a frame of the timeline of the windows; silence where none of them is. May be negative. */
  read(startFrame: number, into: readonly Float64Array[]): void
  close(): void
}

/**
 * Opens the files of some windows; each is opened once.
 * @throws SumwellError as `openWave`
 */
export const openWindows = (
  windows: readonly PieceWindow[],
  selection: ChannelSelection,
  options: OpenOptions = {},
): LaidReader => {
  const readers = new Map<string, ChannelReader>()
  const close = (): void => {
    for (const reader of readers.values()) reader.close()
  }
  try {
    const files = new Set(windows.map(({ file }) => file))
    const bufferBytes = Math.max(LEAST_BUFFER_BYTES, (options.bufferBytes ?? BUFFER_BYTES) / files.size)
    for (const file of files) readers.set(file, openChannels(file, selection, { bufferBytes }))
  } catch (error) {
    close()
    throw error
  }
  const [first, ...others] = [...readers.values()]
  if (first === undefined) throw new Error('a laid recording has no pieces')
  return {
    channels: first.channels,
    files: [first.file, ...others.map(({ file }) => file)],
    read: laidReader(windows, readers, first.channels),
    close,
  }
}

const laidReader = (
  windows: readonly PieceWindow[],
  readers: ReadonlyMap<string, ChannelReader>,
  channels: number,
): LaidReader['read'] => {
  let scratch: Float64Array[] = []
  return (startFrame, into) => {
    const frames = into[0]?.length ?? 0
    for (const samples of into) samples.fill(0)
    for (const window of windows) {
      const from = Math.max(startFrame, window.startFrame)
      const to = Math.min(startFrame + frames, window.endFrame)
      if (to <= from) continue
      if ((scratch[0]?.length ?? 0) < to - from) {
        scratch = Array.from({ length: channels }, () => new Float64Array(to - from))
      }
      const block = scratch.map(samples => samples.subarray(0, to - from))
      readers.get(window.file)!.read(from - window.atFrame, block)
      applyWindow(window, block, from)
      into.forEach((total, channel) => {
        add(total, block[channel]!, from - startFrame)
      })
    }
  }
}

const add = (total: Float64Array, samples: Float64Array, at: number): void => {
  for (let i = 0; i < samples.length; i++) total[at + i] = total[at + i]! + samples[i]!
}
