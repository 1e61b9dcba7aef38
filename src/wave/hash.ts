import { createHash } from 'node:crypto'
import { interrupted } from '../terms/interrupted.js'
import { quietContext, type TaskContext } from '../terms/task.js'
import { openBytes } from './file-bytes.js'
import { readBlock } from './read-block.js'

/**
 * SHA-256 of a whole file, 64 hexadecimal digits, small letters.
 * @throws SumwellError WAVE_UNREADABLE, INTERRUPTED
 */
export const sha256OfFile = (path: string, context: TaskContext = quietContext): string => {
  const file = openBytes(path)
  try {
    const hash = createHash('sha256')
    const block = readBlock()
    for (let position = 0; ; ) {
      if (context.aborted) throw interrupted()
      const count = file.readInto(block, position)
      hash.update(block.subarray(0, count))
      position += count
      if (count < block.length) return hash.digest('hex')
    }
  } finally {
    file.close()
  }
}
