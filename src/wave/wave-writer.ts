import { createHash } from 'node:crypto'
import type { Depth } from '../recipe/session.js'
import { openAtomic } from './atomic-file.js'
import { depthBytes, encoders } from './encode-samples.js'
import { HIGHEST_RATE_HZ, LOWEST_RATE_HZ, MOST_CHANNELS } from './format-chunk.js'
import { newSampleBuffer } from './sample-buffer.js'
import { type StemMetadata, stemChunks } from './stem-metadata.js'
import { internalFault } from './wave-faults.js'
import { layOutHeader } from './wave-header.js'
import type { BroadcastLoudness } from './wave-metadata.js'

/** A WAVE file to be written. The number of frames is known beforehand, so its header is final from the first byte on. */
export interface WaveTarget {
  readonly path: string
  readonly sampleRateHz: number
  readonly channels: number
  readonly frames: number
  readonly depth: Depth
  /** Loudspeaker positions of the channels (`WaveFormat.channelMask`); null or left out = none stated. */
  readonly channelMask?: number | null
  readonly metadata: StemMetadata
  /** As in `AtomicOptions`. */
  readonly folderStands?: boolean
  /** The loudness fields of `bext` are given to `commit`, when the last frame was seen. */
  readonly loudnessFollows?: boolean
}

export interface WaveWriter {
  /** Bytes that the file will have. */
  readonly fileBytes: number
  /** Ids of chunks of the reference that are not in the new file because they would not be true of it. */
  readonly droppedChunks: readonly string[]
  /**
   * Appends the first `frames` frames of `block`, one array per channel, full scale ±1. For integer depths every value lies on the
   * integer grid and in range; the writer checks. Floats are rounded to single precision, values above full scale stay.
   * @throws SumwellError WRITE_… (the temporary file is gone then), INTERNAL for values that cannot be stored or too many frames
   */
  write(block: readonly Float64Array[], frames: number): void
  /**
   * Flushes and puts the file under its name. All frames must have been written.
   * @param loudness where `loudnessFollows` was said
   * @throws SumwellError WRITE_…, INTERNAL
   */
  commit(loudness?: BroadcastLoudness): { bytes: number; sha256: string }
  /** Removes the temporary file; safe to call twice and after `commit`. */
  discard(): void
}

/** Takes as many bytes as any other: the header keeps its length. */
const NO_LOUDNESS: BroadcastLoudness = {
  integratedLufs: null,
  rangeLu: null,
  truePeakDbtp: null,
  momentaryLufs: null,
  shortTermLufs: null,
}

const BUFFER_BYTES = 1 << 20

const checkTarget = ({ path, sampleRateHz, channels, frames }: WaveTarget): void => {
  const whole = [sampleRateHz, channels, frames].every(Number.isSafeInteger)
  const inside =
    sampleRateHz >= LOWEST_RATE_HZ &&
    sampleRateHz <= HIGHEST_RATE_HZ &&
    channels >= 1 &&
    channels <= MOST_CHANNELS &&
    frames >= 0
  if (whole && inside) return
  throw internalFault(
    `a file of ${frames} frames, ${channels} channels at ${sampleRateHz} Hz was asked for`,
    path,
  )
}

/**
 * Starts a WAVE file (RF64 where it comes to more than 4 GiB) under a temporary name.
 * @throws SumwellError WRITE_DISK_FULL, WRITE_NOT_ALLOWED, WRITE_FAILED, INTERNAL
 */
export const createWave = (target: WaveTarget): WaveWriter => {
  checkTarget(target)
  const { channels, depth, frames: allFrames } = target
  const follows = target.loudnessFollows === true
  const laidOut = (metadata: StemMetadata) => {
    const { chunks, dropped } = stemChunks(metadata, target)
    return { dropped, ...layOutHeader({ ...target, channelMask: target.channelMask ?? null, chunks }) }
  }
  const { dropped, ...layout } = laidOut(
    follows ? { ...target.metadata, loudness: NO_LOUDNESS } : target.metadata,
  )
  const file = openAtomic(target.path, {
    expectedBytes: layout.fileBytes,
    folderStands: target.folderStands ?? false,
  })
  const hash = createHash('sha256')
  const append = (bytes: Uint8Array): void => {
    if (!follows) hash.update(bytes)
    file.write(bytes)
  }
  append(layout.header)
  const encode = encoders[`${depth}`]
  const frameBytes = channels * depthBytes(depth)
  const framesAtOnce = Math.max(1, Math.floor(BUFFER_BYTES / frameBytes))
  const buffer = newSampleBuffer(framesAtOnce * frameBytes)
  let written = 0

  const refuse = (message: string): never => {
    file.discard()
    throw internalFault(message, target.path)
  }
  return {
    fileBytes: layout.fileBytes,
    droppedChunks: dropped,
    write: (block, frames) => {
      if (block.length !== channels) refuse(`a block of ${block.length} channels for a file of ${channels}`)
      if (written + frames > allFrames) refuse(`more than the ${allFrames} frames that were announced`)
      for (let from = 0; from < frames; from += framesAtOnce) {
        const count = Math.min(framesAtOnce, frames - from)
        for (let channel = 0; channel < channels; channel++) {
          const bad = encode(block[channel]!, from, count, buffer, channel, channels)
          if (bad >= 0) {
            const value = block[channel]![from + bad]
            refuse(
              `frame ${written + bad} of channel ${channel + 1} is ${value}: that cannot be stored as ${depth} bit`,
            )
          }
        }
        append(buffer.u8.subarray(0, count * frameBytes))
        written += count
      }
    },
    commit: loudness => {
      if (written !== allFrames) refuse(`${written} of ${allFrames} frames were written`)
      if (follows !== (loudness !== undefined))
        refuse('the loudness was announced and not given, or the other way round')
      append(new Uint8Array(layout.padBytes))
      if (loudness !== undefined) file.rewriteStart(laidOut({ ...target.metadata, loudness }).header)
      const sha256 = follows ? file.sha256() : hash.digest('hex')
      file.commit()
      return { bytes: file.bytes, sha256 }
    },
    discard: () => {
      file.discard()
    },
  }
}
