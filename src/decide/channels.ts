import {
  type Blend,
  type Session,
  type SessionGroup,
  type SessionSource,
  selectedChannels,
} from '../recipe/session.js'
import { fault, SumwellError } from '../terms/fault.js'
import { blendOf } from './inner-blend.js'
import { sessionGroup } from './lookup.js'

/** Channels of a source after selection; of a group, those of the blend that it stands for. */
export const sourceChannels = (session: Session, source: SessionSource): number => {
  if (source.kind === 'file') return selectedChannels(source.selection, source.facts.channels)
  const group = sessionGroup(session, source.group)
  return widest(partChannels(session, group, blendOf(group)))
}

/**
 * Channels of a blend: those of its widest part; mono parts go to all of them.
 * @throws SumwellError RECIPE_CHANNEL where parts of several channels have different numbers of them: which goes where is not known
 */
export const commonChannels = (session: Session, group: SessionGroup, blend: Blend): number => {
  const counted = partChannels(session, group, blend)
  const channels = widest(counted)
  const odd = counted.filter(part => part.channels !== 1 && part.channels !== channels)
  if (odd.length > 0) {
    const list = counted.map(part => `${part.name} ${part.channels}`).join(', ')
    throw new SumwellError(
      fault(
        'RECIPE_CHANNEL',
        `the parts of blend ${blend.name} have different numbers of channels (${list})`,
        {
          file: session.recipeShown,
          expected: 'parts of one number of channels, and mono parts',
          mend: 'give `channel: left`, `right`, a number or `sum` for the sources that do not fit',
        },
      ),
    )
  }
  return channels
}

interface Counted {
  readonly name: string
  readonly channels: number
}

const partChannels = (session: Session, group: SessionGroup, blend: Blend): readonly Counted[] =>
  group.sources
    .filter(({ name }) => blend.parts.some(part => part.source === name))
    .map(source => ({ name: source.name, channels: sourceChannels(session, source) }))

const widest = (parts: readonly Counted[]): number => Math.max(1, ...parts.map(part => part.channels))
