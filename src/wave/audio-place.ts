import type { Warning } from '../terms/warning.js'
import type { FileBytes } from './file-bytes.js'
import { missingChunk, type RiffChunks } from './riff-chunks.js'
import { headerFault, waveWarning } from './wave-faults.js'
import type { SampleLayout } from './wave-format.js'

/** Where the audio lies: whole frames inside the file. */
export interface AudioPlace {
  readonly dataAt: number
  readonly dataBytes: number
  readonly frames: number
  readonly warnings: readonly Warning[]
}

/** Sizes that a recorder or a pipe writes for "very long": from here on a missing end means "never closed", not "cut off". */
const NEVER_CLOSED_BYTES = 0x7fff0000

const seconds = (frames: number, sampleRateHz: number): string => `${(frames / sampleRateHz).toFixed(3)} s`

/**
 * Finds the audio and takes what is whole of it. Shorter than stated, never closed, or ending in half a frame: a warning.
 * @throws SumwellError WAVE_HEADER without exactly one `data` chunk
 */
export const placeAudio = (file: FileBytes, riff: RiffChunks, layout: SampleLayout): AudioPlace => {
  const [data, second] = riff.chunks.filter(chunk => chunk.id === 'data')
  if (data === undefined) throw missingChunk(file, riff, 'data')
  if (second !== undefined) {
    throw headerFault(file.path, second.headerAt, 'there is a second data chunk', 'one data chunk')
  }
  const there = Math.min(data.bytes, file.size - data.at)
  const frames = Math.floor(there / layout.frameBytes)
  const length = seconds(frames, layout.sampleRateHz)
  const torn = there - frames * layout.frameBytes
  const warnings: Warning[] = []
  if (riff.unfinished || (there < data.bytes && data.bytes >= NEVER_CLOSED_BYTES)) {
    const message = `the recording was never closed: its length is not in the header; read to its end, ${length}`
    warnings.push(waveWarning('WAVE_UNFINISHED', file.path, message))
  } else if (there < data.bytes) {
    const stated = seconds(Math.floor(data.bytes / layout.frameBytes), layout.sampleRateHz)
    const message = `the header states ${stated} of audio, the file holds ${length}; what is whole is used. Copy it again if there is a longer one`
    warnings.push(waveWarning('WAVE_TRUNCATED', file.path, message))
  } else if (torn > 0 && !(riff.container === 'RF64' && torn === 1)) {
    // One byte too many in RF64 is a pad byte that some writers count in.
    const message = `the audio ends in ${torn} of the ${layout.frameBytes} bytes of a frame; the whole frames before it are used`
    warnings.push(waveWarning('WAVE_TRUNCATED', file.path, message))
  }
  return { dataAt: data.at, dataBytes: frames * layout.frameBytes, frames, warnings }
}
