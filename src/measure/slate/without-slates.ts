import type { Align, SessionGroup } from '../../recipe/session.js'
import { SLATE, SLATE_SPACING_SECONDS } from '../../signal/slate.js'
import type { Pooled } from '../../terms/task.js'
import type { SessionTrack } from '../session/session-source.js'
import type { measureTasks } from '../tasks.js'
import { slateFileOf } from './slate-lags.js'

/** Room for a path's delay before the first sweep, and for the room to die away after the second. */
const BEFORE_SECONDS = 0.3
const AFTER_SECONDS = SLATE_SPACING_SECONDS + SLATE.sweepSeconds + 1
/** With less than this beside the slate there is nothing else to measure. */
const LEAST_SECONDS = 1

/**
 * The group with its passage set to everything but the slates, so that the slate's loudspeaker has no say in what the playing
 * tells. As it is where the recipe names a passage or no slate, where none is heard, and where there is nothing else.
 */
export const withoutSlates = async (
  group: SessionGroup,
  reference: SessionTrack,
  tasks: Pooled<typeof measureTasks>,
): Promise<SessionGroup> => {
  if (!group.align.slate || group.align.passage !== null || reference.file.slate !== null) return group
  const file = slateFileOf(reference)
  if (file.channels.length === 0) return group
  const places = await tasks.findSlatesIn(file)
  const starts = places.map(place => place.frame / group.sampleRateHz).sort((a, b) => a - b)
  const passage = beside(starts, reference.scan.frames / group.sampleRateHz)
  return places.length === 0 || passage.length === 0
    ? group
    : { ...group, align: { ...group.align, passage } }
}

const beside = (starts: readonly number[], endSeconds: number): NonNullable<Align['passage']> => {
  const edges = starts.map(start => ({ from: start - BEFORE_SECONDS, to: start + AFTER_SECONDS }))
  return [...edges, { from: endSeconds, to: endSeconds }].flatMap(({ from }, i) => {
    const startSeconds = i === 0 ? 0 : edges[i - 1]!.to
    return from - startSeconds < LEAST_SECONDS ? [] : [{ startSeconds, endSeconds: from }]
  })
}
