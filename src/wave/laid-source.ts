import type { PieceWindow } from '../recipe/pieces/piece-windows.js'
import type { ChannelSelection } from '../recipe/session.js'
import { applyWindow } from '../signal/cross-fade.js'
import { type ChannelReader, openChannels } from './channel-reader.js'
import { BUFFER_BYTES } from './frame-reader.js'
import type { OpenOptions, WaveFile } from './wave-file.js'

/** The files of some windows, each open once. */
export interface OpenPieces {
  readonly channels: number
  readonly files: readonly [WaveFile, ...WaveFile[]]
  readonly readers: ReadonlyMap<string, ChannelReader>
  close(): void
}

/** Of one among the files of a laid recording, which share the memory for reading ahead. */
const LEAST_BUFFER_BYTES = 1 << 16

/** @throws SumwellError as `openWave` */
export const openPieces = (
  windows: readonly PieceWindow[],
  selection: ChannelSelection,
  options: OpenOptions = {},
): OpenPieces => {
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
  const files = [first.file, ...others.map(({ file }) => file)] as const
  return { channels: first.channels, files: [...files], readers, close }
}

/**
 * Reads windows as one recording, with the cross-fades between them: fills one array per channel from a frame of their timeline; silence
 * where none of them is. The frame may be negative.
 */
export type WindowReader = (startFrame: number, into: readonly Float64Array[]) => void

/** A reader of these windows; the files are open already, and whoever opened them closes them. */
export const windowReader = (
  windows: readonly PieceWindow[],
  { readers, channels }: OpenPieces,
): WindowReader => {
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
