import { decoders } from './decode-samples.js'
import type { FileBytes } from './file-bytes.js'
import { newSampleBuffer, type SampleBuffer } from './sample-buffer.js'
import { waveFault } from './wave-faults.js'
import type { WaveFormat } from './wave-format.js'

/** Reads frames of one file through a buffer: forward reading costs one system call per 256 KiB, whatever the request. */
export interface FrameReader {
  /** Frames [startFrame, startFrame + length of each array) of the given channels; zeros outside the file. */
  read(startFrame: number, channels: readonly number[], into: readonly Float64Array[]): void
}

/** One forward read. Many files may be open at once: a song of 64 sources in every thread. */
export const BUFFER_BYTES = 1 << 18
/** Share kept at least from the buffer before, so that overlapping windows that walk forward find their past. */
const KEPT_SHARE = 1 / 8
/** Share read at a place that was jumped to: nobody knows yet whether more is wanted. */
const JUMP_SHARE = 1 / 16

/** First frame in [0, frames) that is NaN or infinite, or -1. x - x is 0 for all other numbers. */
const firstNotFinite = (values: Float64Array, at: number, frames: number): number => {
  let sum = 0
  for (let i = at; i < at + frames; i++) sum += values[i]! - values[i]!
  if (sum === 0) return -1
  for (let i = 0; i < frames; i++) if (!Number.isFinite(values[at + i])) return i
  return -1
}

/** @param bufferBytes Memory that the reader may take, at the first read; one frame at least. */
export const frameReader = (
  file: FileBytes,
  format: WaveFormat,
  frames: number,
  bufferBytes = BUFFER_BYTES,
): FrameReader => {
  const { frameBytes, dataAt, channels: stride } = format
  const decode = decoders[format.coding]
  const isFloat = format.coding === 'f32' || format.coding === 'f64'
  const framesIn = (bytes: number): number => Math.max(1, Math.floor(bytes / frameBytes))
  const capacity = framesIn(bufferBytes * (1 + KEPT_SHARE))
  let buffer: SampleBuffer | null = null
  let firstHeld = 0
  let held = 0

  /** Brings `frame` into the buffer, with what comes after it; `from` is where the request began, `wanted` what it still lacks. */
  const fill = (frame: number, from: number, wanted: number): SampleBuffer => {
    buffer ??= newSampleBuffer(capacity * frameBytes)
    const end = firstHeld + held
    const forward = frame === end || held === 0
    const past = Math.max(end - from, framesIn(bufferBytes * KEPT_SHARE))
    const kept = forward ? Math.min(held, past, capacity >> 1) : 0
    if (kept > 0) buffer.u8.copyWithin(0, (held - kept) * frameBytes, held * frameBytes)
    const ahead = forward ? framesIn(bufferBytes) : Math.max(wanted, framesIn(bufferBytes * JUMP_SHARE))
    const count = Math.min(ahead, capacity - kept, frames - frame)
    firstHeld = frame - kept
    held = 0 // nothing is promised while the read may still fail
    const target = buffer.u8.subarray(kept * frameBytes, (kept + count) * frameBytes)
    if (file.readInto(target, dataAt + frame * frameBytes) < target.length) {
      throw waveFault('WAVE_CHANGED', file.path, 'the file became shorter while it was read', {
        mend: 'wait until the recording or copying has ended, then run again',
      })
    }
    held = kept + count
    return buffer
  }

  const refuseNotFinite = (
    values: Float64Array,
    at: number,
    count: number,
    frame: number,
    channel: number,
  ) => {
    const found = firstNotFinite(values, at, count)
    if (found < 0) return
    const where = `frame ${frame + found} (${((frame + found) / format.sampleRateHz).toFixed(3)} s)`
    const what = Number.isNaN(values[at + found]) ? 'NaN (not a number)' : 'infinity'
    throw waveFault('WAVE_NOT_A_NUMBER', file.path, `${where} of channel ${channel + 1} is ${what}`, {
      expected: 'finite sample values',
      mend: 'export the file again, or repair that spot in an editor',
    })
  }

  return {
    read: (startFrame, channels, into) => {
      const length = into[0]?.length ?? 0
      const from = Math.min(Math.max(0, -startFrame), length)
      const to = Math.max(from, Math.min(length, frames - startFrame))
      for (const values of into) {
        if (from > 0) values.fill(0, 0, from)
        if (to < length) values.fill(0, to)
      }
      for (let done = from; done < to; ) {
        const frame = startFrame + done
        const inside = buffer !== null && frame >= firstHeld && frame < firstHeld + held
        const source = inside ? buffer! : fill(frame, startFrame, to - done)
        const skip = frame - firstHeld
        const count = Math.min(to - done, held - skip)
        channels.forEach((channel, index) => {
          decode(source, skip * stride + channel, stride, into[index]!, done, count)
          if (isFloat) refuseNotFinite(into[index]!, done, count, frame, channel)
        })
        done += count
      }
    },
  }
}
