import type { WaveFacts } from '../recipe/session.js'
import type { Task } from '../terms/task.js'
import { sha256OfFile } from '../wave/hash.js'
import { openWave } from '../wave/wave-file.js'

export interface StemLook {
  readonly sha256: string
  readonly facts: WaveFacts
  /** What its header makes doubtful: cut short, stamps that differ, … */
  readonly doubts: readonly string[]
}

/** Reads a stem from end to end. @throws SumwellError WAVE_…, INTERRUPTED */
export const lookAtStem: Task<{ readonly file: string }, StemLook> = ({ file }, context) => {
  const wave = openWave(file)
  try {
    const sha256 = sha256OfFile(file, context)
    context.advance(wave.facts.frames / wave.facts.sampleRateHz)
    return { sha256, facts: wave.facts, doubts: wave.warnings.map(({ message }) => message) }
  } finally {
    wave.close()
  }
}
