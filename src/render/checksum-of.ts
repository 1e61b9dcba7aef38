import type { Task } from '../terms/task.js'
import { sha256OfFile } from '../wave/hash.js'

/** SHA-256 of a delivered file. @throws SumwellError WAVE_UNREADABLE, INTERRUPTED */
export const checksumOf: Task<{ readonly file: string }, string> = ({ file }, context) =>
  sha256OfFile(file, context)
