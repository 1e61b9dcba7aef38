import type { StemPart } from '../../decide/plan.js'
import type { ChannelSelection } from '../../recipe/session.js'

/** One recording of a group. */
export interface PassageRecording {
  readonly key: string
  readonly file: string
  readonly selection: ChannelSelection
}

/** A part as recorded: nothing is followed. */
export const asRecorded = (part: StemPart): StemPart => ({
  ...part,
  atSamples: part.recordedAtSamples,
  follow: null,
})
