import type { Warning } from '../../terms/warning.js'
import type { Session } from '../session.js'
import { clockText } from '../words/passage.js'
import { heardStretches } from './piece-layout.js'

/** PIECES_GAP: silence between two pieces of a source, because neither reaches that far. */
export const gapWarnings = (session: Session): readonly Warning[] =>
  session.groups.flatMap(group =>
    group.sources.flatMap(source => {
      if (source.kind === 'group' || source.selection.laid === undefined) return []
      const heard = heardStretches(source.selection.laid)
      return heard.slice(1).flatMap(({ startFrame }, i): readonly Warning[] => {
        const { endFrame } = heard[i]!
        if (startFrame <= endFrame) return []
        const clock = (frame: number): string => clockText(frame / source.facts.sampleRateHz)
        return [
          {
            code: 'PIECES_GAP',
            group: group.name,
            source: source.name,
            message:
              `Nothing is recorded from ${clock(endFrame)} to ${clock(startFrame)}: the piece before ends there, and the next has not begun. ` +
              'The stem is silent in between. If that is not meant, check at, from and to of the two.',
          },
        ]
      })
    }),
  )
