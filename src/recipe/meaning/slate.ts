import { fieldOf, textOf } from '../located.js'
import type { SlateRecording } from '../session.js'
import type { MeaningContext } from './context.js'
import { type FileDraft, type GroupDraft, selectionOf } from './draft.js'
import { type FoundFile, sourceFile } from './source-file.js'

/** The slate's sweep goes up to 16 kHz. */
const LOWEST_RATE_HZ = 40000

/** Whether a group's files hold a slate. Reports a rate that is too low for one. */
export const slateOf = (group: GroupDraft, rate: number | null, { faults }: MeaningContext): boolean => {
  const node = fieldOf(fieldOf(group.node, 'align'), 'slate')
  if (node?.kind !== 'scalar' || node.value !== true) return false
  if (rate !== null && rate < LOWEST_RATE_HZ && !faults.toldAt(node.at)) {
    faults.add('RECIPE_VALUE', `a slate needs more than the ${rate} Hz of this group`, node.at, {
      expected: `files of ${LOWEST_RATE_HZ} Hz or more`,
      mend: 'remove slate:',
    })
  }
  return true
}

/** The file that a source names for its slate; null where it names none. Reports one that cannot be used. */
export const slateFound = (draft: FileDraft, context: MeaningContext): FoundFile | null => {
  const node = fieldOf(draft.node, 'slate')
  return node?.kind === 'scalar' && textOf(node) !== undefined ? sourceFile(node, context, new Map()) : null
}

/**
 * The recording of the slate that a source names. Reports a file that cannot be used, of another rate than the group's, or
 * without the source's channel.
 */
export const slateFileOf = (
  draft: FileDraft,
  rate: number | null,
  context: MeaningContext,
): SlateRecording | null => {
  const { faults } = context
  const node = fieldOf(draft.node, 'slate')
  const found = slateFound(draft, context)
  if (node === undefined || found === null || found.facts === null) return null
  const { absolute, shown, facts } = found
  if (rate !== null && (facts.sampleRateHz !== rate || rate < LOWEST_RATE_HZ)) {
    faults.add('RECIPE_RATE_MISMATCH', `${shown} has ${facts.sampleRateHz} Hz`, node.at, {
      expected: `${rate} Hz, as the group, and ${LOWEST_RATE_HZ} Hz at least`,
      mend: 'record the slate with the settings of the take',
    })
    return null
  }
  const selection = facts.channels === 1 ? { kind: 'all' as const } : selectionOf(draft, facts.channels)
  if (selection === null) {
    faults.add('RECIPE_CHANNEL', `${shown} lacks the channel that this source uses`, node.at, {
      expected: `a mono file, or one with the channels of ${draft.file.shown}`,
      mend: 'record the slate with the settings of the take',
    })
    return null
  }
  return { file: absolute, fileShown: shown, selection, facts }
}
