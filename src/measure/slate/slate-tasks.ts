import type { ChannelSelection } from '../../recipe/session.js'
import { interrupted } from '../../terms/interrupted.js'
import type { TaskContext } from '../../terms/task.js'
import { openSource } from '../../wave/source-reader.js'
import { findSlates, type SlatePlace } from './find-slates.js'
import { type SlateResponse, slateResponses } from './slate-responses.js'

export interface SlateFile {
  readonly file: string
  readonly selection: ChannelSelection
  /** Channels of the selection to look at, from 0; the first is searched. */
  readonly channels: readonly number[]
}

/**
 * Task: where in a file slates were played.
 * @throws SumwellError as `openWave` and `WaveFile.read`; INTERRUPTED
 */
export const findSlatesIn = (input: SlateFile, context: TaskContext): readonly SlatePlace[] => {
  const reader = openSource(input.file, input.selection)
  try {
    const { frames, sampleRateHz } = reader.facts
    return findSlates(reader, input.channels[0]!, frames, sampleRateHz, count => {
      if (context.aborted) throw interrupted()
      context.advance(count / sampleRateHz)
    })
  } finally {
    reader.close()
  }
}

/** Task: the responses of all channels at one slate. @throws SumwellError as above */
export const respondToSlate = (
  input: SlateFile & { readonly place: number },
  context: TaskContext,
): readonly SlateResponse[] => {
  const reader = openSource(input.file, input.selection)
  try {
    return input.channels.map(channel => {
      if (context.aborted) throw interrupted()
      return slateResponses(reader, channel, input.place, reader.facts.sampleRateHz)
    })
  } finally {
    reader.close()
  }
}
