import type { WaveFacts } from '../recipe/session.js'
import type { Warning } from '../terms/warning.js'
import { placeAudio } from './audio-place.js'
import { type FileBytes, openBytes } from './file-bytes.js'
import type { FileIdentity } from './file-identity.js'
import { readFormatChunk } from './format-chunk.js'
import { frameReader } from './frame-reader.js'
import { readMetadata } from './read-metadata.js'
import { missingChunk, walkChunks } from './riff-chunks.js'
import { stampOf } from './time-stamp.js'
import { internalFault } from './wave-faults.js'
import { sampleBytes, type WaveFormat } from './wave-format.js'
import type { WaveMetadata } from './wave-metadata.js'

/** An open recording. Read-only; close it when done. */
export interface WaveFile {
  readonly path: string
  readonly facts: WaveFacts
  readonly format: WaveFormat
  /** Truncated, unfinished, metadata that cannot be read. */
  readonly warnings: readonly Warning[]
  readonly metadata: WaveMetadata
  readonly identity: FileIdentity
  /**
   * Frames [startFrame, startFrame + length) of every channel into planar doubles, one array of the same length per channel,
   * full scale ±1, exact. Zeros outside the file; startFrame is whole, may be negative or beyond the end.
   * @throws SumwellError WAVE_NOT_A_NUMBER for NaN or infinity, WAVE_CHANGED, WAVE_UNREADABLE
   */
  read(startFrame: number, into: readonly Float64Array[]): void
  /** The same for some channels, counted from 0: `into` has one array for each. */
  readChannels(startFrame: number, channels: readonly number[], into: readonly Float64Array[]): void
  /** True when the file was written to, replaced or removed since it was opened. Works after `close` too. */
  changed(): boolean
  /** Safe to call twice. */
  close(): void
}

export interface OpenOptions {
  /** Memory for reading ahead, bytes; 256 KiB unless said otherwise. Less where very many files are open at once. */
  readonly bufferBytes?: number
}

const openFrom = (file: FileBytes, options: OpenOptions): WaveFile => {
  const riff = walkChunks(file)
  const formatChunk = riff.chunks.find(chunk => chunk.id === 'fmt ')
  if (formatChunk === undefined) throw missingChunk(file, riff, 'fmt ')
  const layout = readFormatChunk(file, formatChunk)
  const audio = placeAudio(file, riff, layout)
  const format: WaveFormat = {
    ...layout,
    container: riff.container,
    dataAt: audio.dataAt,
    dataBytes: audio.dataBytes,
  }
  const { metadata, warnings: unreadable } = readMetadata(file, riff.chunks)
  const { stampSamples, warnings: doubtful } = stampOf(file.path, metadata, layout.sampleRateHz)
  const facts: WaveFacts = {
    sampleRateHz: layout.sampleRateHz,
    channels: layout.channels,
    frames: audio.frames,
    bitDepth: 8 * sampleBytes[layout.coding],
    sampleFormat: layout.tag === 3 ? 'float' : 'int',
    stampSamples,
  }
  const reader = frameReader(file, format, audio.frames, options.bufferBytes)
  const allChannels = Array.from({ length: layout.channels }, (_, channel) => channel)
  const readChannels: WaveFile['readChannels'] = (startFrame, channels, into) => {
    const length = into[0]?.length ?? 0
    const fits = into.length === channels.length && into.every(values => values.length === length)
    const known = channels.every(channel => channel in allChannels)
    if (!Number.isSafeInteger(startFrame) || !fits || !known) {
      throw internalFault(`read of frame ${startFrame} into ${into.length} arrays`, file.path)
    }
    reader.read(startFrame, channels, into)
  }
  return {
    path: file.path,
    facts,
    format,
    warnings: [...audio.warnings, ...riff.warnings, ...unreadable, ...doubtful],
    metadata,
    identity: file.identity,
    read: (startFrame, into) => {
      readChannels(startFrame, allChannels, into)
    },
    readChannels,
    changed: () => file.changed(),
    close: () => {
      file.close()
    },
  }
}

/**
 * Opens a WAVE, RF64 or BW64 file: PCM of 8, 16, 24, 32 bit, float of 32 or 64 bit, 1 to 64 channels, 8 to 384 kHz.
 * Nothing of the audio is read yet; the metadata is.
 * @throws SumwellError WAVE_UNREADABLE, WAVE_NOT_WAVE, WAVE_HEADER, WAVE_FORMAT, WAVE_LIMIT
 */
export const openWave = (path: string, options: OpenOptions = {}): WaveFile => {
  const file = openBytes(path)
  try {
    return openFrom(file, options)
  } catch (error) {
    file.close()
    throw error
  }
}
