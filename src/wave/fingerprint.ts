import { createHash } from 'node:crypto'
import { interrupted } from '../terms/interrupted.js'
import type { Task } from '../terms/task.js'
import { openBytes } from './file-bytes.js'
import { readBlock } from './read-block.js'
import { openWave } from './wave-file.js'

/** What a recording is, whatever it is called. */
export interface Fingerprint {
  /** Of the whole file, 64 hexadecimal digits. */
  readonly sha256: string
  /** Of the audio alone (whole frames of the data chunk): the same where only the metadata differs. */
  readonly audioSha256: string
  /** Coding, rate, channels and length of the audio, in words that people read: the same bytes in another coding are another sound. */
  readonly format: string
}

/**
 * Reads a recording once and decodes nothing.
 * @throws SumwellError as `openWave`; INTERRUPTED
 */
export const fingerprintOf: Task<{ readonly file: string }, Fingerprint> = ({ file }, context) => {
  const wave = openWave(file)
  wave.close()
  const { facts, format } = wave
  const bytes = openBytes(file)
  try {
    const whole = createHash('sha256')
    const audio = createHash('sha256')
    const block = readBlock()
    const audioEnd = format.dataAt + format.dataBytes
    for (let position = 0; ; ) {
      if (context.aborted) throw interrupted()
      const count = bytes.readInto(block, position)
      whole.update(block.subarray(0, count))
      const from = Math.max(0, format.dataAt - position)
      const to = Math.min(count, audioEnd - position)
      if (to > from) audio.update(block.subarray(from, to))
      position += count
      if (count < block.length) break
    }
    const channels = facts.channels === 1 ? '1 channel' : `${facts.channels} channels`
    return {
      sha256: whole.digest('hex'),
      audioSha256: audio.digest('hex'),
      format: `${facts.bitDepth} bit ${facts.sampleFormat}, ${facts.sampleRateHz} Hz, ${channels}, ${facts.frames} frames`,
    }
  } finally {
    bytes.close()
  }
}
