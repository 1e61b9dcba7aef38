import type { Plan, PlannedSource, PlannedStem } from '../../decide/plan.js'
import type { Session, SessionGroup } from '../../recipe/session.js'
import { delayDesign } from '../../signal/fractional-delay.js'
import { FADER_REACH_MS } from '../desk/faders.js'
import { choosePassage, type Look, loudestDifference } from './choose-passage.js'
import type { Listen } from './listen.js'
import { framesOfLook, type LooksInput } from './looks-task.js'
import type { PassageInput } from './passage-task.js'
import type { PassageRecording } from './recording.js'

/** Longest passage of a group. */
export const LONGEST_SECONDS = 20
/** How much around a loop is needed to blend its end into its start. */
const LOOP_MS = 10

/** The blends of a group that line something up, as they are delivered. */
const blendsOf = (plan: Plan, group: SessionGroup): readonly PlannedStem[] =>
  plan.stems.filter(
    stem =>
      stem.kind === 'blend' &&
      stem.aligned &&
      stem.group === group.name &&
      group.blends.some(({ name }) => name === stem.name),
  )

/** Those that come into one of these blends. */
const recordingsIn = (plan: Plan, blends: readonly PlannedStem[]): readonly PlannedSource[] => {
  const keys = new Set(blends.flatMap(({ parts }) => parts.map(({ key }) => key)))
  return plan.sources.filter(({ key }) => keys.has(key))
}

const wishedSeconds = ({ deliver }: Session, longestSeconds: number): number => {
  const { listen } = deliver.report
  return listen === null ? longestSeconds : Math.min(LONGEST_SECONDS, listen.endSeconds - listen.startSeconds)
}

/** One group of which the page can play a passage. */
export interface PassageAsk {
  readonly group: string
  readonly wishedSeconds: number
  /** Where to look for it: the whole song, or from where the recipe says for as long as it says. */
  readonly looks: LooksInput
  readonly chosenBy: Listen['chosenBy']
  /** Of the timeline of the stems. */
  readonly timelineFrames: number
  readonly passage: Omit<PassageInput, 'startFrame' | 'frames' | 'recording'> & {
    readonly recordings: readonly PassageRecording[]
  }
}

/** null where no blend of a group lines anything up. `longestSeconds`: where the recipe names no stretch. */
export const passageAsk = (
  session: Session,
  plan: Plan,
  group: SessionGroup,
  longestSeconds = LONGEST_SECONDS,
): PassageAsk | null => {
  const blends = blendsOf(plan, group)
  const [first] = blends
  if (first === undefined) return null
  const rate = group.sampleRateHz
  const timelineFrames = first.frames
  const { listen } = session.deliver.report
  const reference = plan.sources.find(({ key }) => key === `${group.name}/${group.reference}`)
  const wished = wishedSeconds(session, longestSeconds)
  const given = (reference?.recordedAtSamples ?? 0) + Math.round((listen?.startSeconds ?? 0) * rate)
  const start = Math.max(0, Math.min(timelineFrames - Math.round(wished * rate), Math.round(given)))
  const end = Math.min(timelineFrames, start + Math.round(wished * rate))
  const recordings = recordingsIn(plan, blends).map(({ key, file, selection }) => ({ key, file, selection }))
  return {
    group: group.name,
    wishedSeconds: wished,
    looks: {
      sampleRateHz: rate,
      recordings,
      blend: first.parts,
      startFrame: listen === null ? 0 : start,
      endFrame: listen === null ? timelineFrames : end,
    },
    chosenBy: listen === null ? 'change' : 'recipe',
    timelineFrames,
    passage: {
      sampleRateHz: rate,
      recordings,
      uses: blends.flatMap(({ parts }) => parts),
      marginFrames: Math.ceil(((FADER_REACH_MS + LOOP_MS) / 1000) * rate) + 2 * delayDesign(rate).halfLength,
    },
  }
}

/** Where the passage of a group lies on the timeline of the stems, frames. */
export interface PassagePlace {
  readonly startFrame: number
  readonly frames: number
  readonly loudestDifferenceFrame: number
}

/** Where a passage of so many seconds, or as many as were wished for, lies best. */
export const placeOf = (ask: PassageAsk, looks: readonly Look[], seconds: number): PassagePlace => {
  const { looks: looked, timelineFrames } = ask
  const hop = framesOfLook(looked.sampleRateHz)
  const most = looked.endFrame - looked.startFrame
  const frames = Math.min(most, Math.round(Math.min(seconds, ask.wishedSeconds) * looked.sampleRateHz))
  const count = Math.max(1, Math.floor(frames / hop))
  if (ask.chosenBy === 'recipe') {
    const loudest = hop * loudestDifference(looks.slice(0, count))
    return { startFrame: looked.startFrame, frames, loudestDifferenceFrame: Math.min(frames - 1, loudest) }
  }
  const choice = choosePassage(looks, count)
  const startFrame = Math.min(timelineFrames - frames, choice.first * hop)
  const loudest = choice.loudestDifference * hop - startFrame
  return { startFrame, frames, loudestDifferenceFrame: Math.max(0, Math.min(frames - 1, loudest)) }
}
