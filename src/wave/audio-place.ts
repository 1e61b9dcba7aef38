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

/** Sizes that a recorder or a pipe writes for "very long", just under 2^31 or 2^32: a missing end then means "never closed". */
const isEndless = (bytes: number): boolean =>
  (bytes >= 0x7fff0000 && bytes < 2 ** 31) || (bytes >= 0xffff0000 && bytes < 2 ** 32)

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
  // Some writers of RF64 count the pad byte into the size: with one byte a frame that would be a frame too many.
  const padCounted =
    riff.container === 'RF64' &&
    data.bytes % 2 === 0 &&
    data.bytes === riff.statedFrames * layout.frameBytes + 1
  const stated = data.bytes - (padCounted ? 1 : 0)
  const there = Math.min(stated, file.size - data.at)
  const frames = Math.floor(there / layout.frameBytes)
  const length = seconds(frames, layout.sampleRateHz)
  const torn = there - frames * layout.frameBytes
  const warnings: Warning[] = []
  if (riff.unfinished || (there < stated && riff.container === 'RIFF' && isEndless(stated))) {
    const message = `the recording was never closed: its length is not in the header; read to its end, ${length}`
    warnings.push(waveWarning('WAVE_UNFINISHED', file.path, message))
  } else if (there < stated) {
    const whole = seconds(Math.floor(stated / layout.frameBytes), layout.sampleRateHz)
    const message = `the header states ${whole} of audio, the file holds ${length}; what is whole is used. Copy it again if there is a longer one`
    warnings.push(waveWarning('WAVE_TRUNCATED', file.path, message))
  } else if (torn > 0) {
    const message = `the audio ends in ${torn} of the ${layout.frameBytes} bytes of a frame; the whole frames before it are used`
    warnings.push(waveWarning('WAVE_TRUNCATED', file.path, message))
  }
  return { dataAt: data.at, dataBytes: frames * layout.frameBytes, frames, warnings }
}
