import { createHash } from 'node:crypto'
import type { PieceLayout } from '../recipe/pieces/piece-layout.js'
import type { ChannelSelection } from '../recipe/session.js'
import type { TaskContext } from '../terms/task.js'
import { sha256OfFile } from './hash.js'

/** One checksum for a recording that is laid from several files: of theirs, and of how they are laid. */
export const laidSha256 = (
  { pieces, fadeFrames }: PieceLayout,
  sha256Of: (file: string) => string,
): string => {
  const laid = pieces.map(({ file, fromFrame, toFrame, atFrame }) => [
    sha256Of(file),
    fromFrame,
    toFrame,
    atFrame,
  ])
  return createHash('sha256').update(JSON.stringify({ laid, fadeFrames }), 'utf8').digest('hex')
}

/**
 * SHA-256 of a source: of its file, or of what is laid from its pieces.
 * @throws SumwellError WAVE_UNREADABLE, INTERRUPTED
 */
export const sha256OfSource = (file: string, selection: ChannelSelection, context: TaskContext): string =>
  selection.laid === undefined
    ? sha256OfFile(file, context)
    : laidSha256(selection.laid, piece => sha256OfFile(piece, context))
