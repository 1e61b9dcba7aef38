import { createHash } from 'node:crypto'
import type { Plan, PlannedSource, PlannedStem } from '../../decide/plan.js'
import type { Session, SessionGroup } from '../../recipe/session.js'
import { delayDesign } from '../../signal/fractional-delay.js'
import type { Pooled } from '../../terms/task.js'
import { FADER_REACH_MS } from '../desk/faders.js'
import type { reportTasks } from '../tasks.js'
import type { Listen, SoundBytes } from './listen.js'
import { BYTES_OF, codingFor } from './packing.js'
import type { PassageInput } from './passage-task.js'

/** Longest passage of a group. */
export const LONGEST_SECONDS = 20
/** Shorter than this nothing can be judged: a page with very many recordings rather grows. */
const SHORTEST_SECONDS = 4
/** What the sound of all groups together may take as text: so that a page stays under 25 MB. */
const MOST_TEXT_BYTES = 19.6e6
const TEXT_PER_BYTE = 4 / 3
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

const recordingsIn = (plan: Plan, blends: readonly PlannedStem[]): readonly PlannedSource[] => {
  const keys = new Set(blends.flatMap(({ parts }) => parts.map(({ key }) => key)))
  return plan.sources.filter(({ key }) => keys.has(key))
}

const bytesPerSecond = ({ facts, channels }: PlannedSource): number =>
  facts.sampleRateHz * channels * BYTES_OF[codingFor(facts.bitDepth, facts.sampleFormat)]

/** How long the passages may be so that all of them fit, seconds: the same for every group. */
export const passageSeconds = (session: Session, plan: Plan): number => {
  const all = session.groups.flatMap(group => recordingsIn(plan, blendsOf(plan, group)))
  const perSecond = TEXT_PER_BYTE * all.reduce((sum, source) => sum + bytesPerSecond(source), 0)
  if (perSecond === 0) return LONGEST_SECONDS
  return Math.max(
    SHORTEST_SECONDS,
    Math.min(LONGEST_SECONDS, Math.floor((10 * MOST_TEXT_BYTES) / perSecond) / 10),
  )
}

const wishedSeconds = ({ deliver }: Session, longestSeconds: number): number => {
  const { listen } = deliver.report
  return listen === null ? longestSeconds : Math.min(LONGEST_SECONDS, listen.endSeconds - listen.startSeconds)
}

/**
 * What the task needs for one group; null where no blend of it lines anything up. `longestSeconds`: where the recipe names no stretch.
 */
export const passageInput = (
  session: Session,
  plan: Plan,
  group: SessionGroup,
  longestSeconds = LONGEST_SECONDS,
): PassageInput | null => {
  const blends = blendsOf(plan, group)
  const [first] = blends
  if (first === undefined) return null
  const rate = group.sampleRateHz
  const { listen } = session.deliver.report
  const reference = plan.sources.find(({ key }) => key === `${group.name}/${group.reference}`)
  const seconds = Math.min(passageSeconds(session, plan), wishedSeconds(session, longestSeconds))
  return {
    group: group.name,
    sampleRateHz: rate,
    timelineFrames: first.frames,
    recordings: recordingsIn(plan, blends).map(({ key, file, selection }) => ({ key, file, selection })),
    blend: first.parts,
    uses: blends.flatMap(({ parts }) => parts),
    given:
      listen === null
        ? null
        : { startFrame: (reference?.recordedAtSamples ?? 0) + Math.round(listen.startSeconds * rate) },
    frames: Math.round(seconds * rate),
    marginFrames: Math.ceil(((FADER_REACH_MS + LOOP_MS) / 1000) * rate) + 2 * delayDesign(rate).halfLength,
  }
}

export interface Passages {
  /** By group; groups without one have nothing to compare. */
  readonly listens: ReadonlyMap<string, Listen>
  readonly bytes: SoundBytes
}

/** The passages of all groups of a song, with their sound. `longestSeconds` as for `passageInput`. */
export const passagesOf = async (
  session: Session,
  plan: Plan,
  tasks: Pooled<typeof reportTasks>,
  longestSeconds = LONGEST_SECONDS,
): Promise<Passages> => {
  const inputs = session.groups.flatMap(group => passageInput(session, plan, group, longestSeconds) ?? [])
  const found = await Promise.all(inputs.map(input => tasks.passage(input)))
  const listens = new Map<string, Listen>()
  const bytes = new Map<string, Uint8Array>()
  found.forEach((passage, p) => {
    const { group, sampleRateHz } = inputs[p]!
    listens.set(group, {
      startSeconds: passage.startFrame / sampleRateHz,
      startFrame: passage.startFrame,
      frames: passage.frames,
      chosenBy: session.deliver.report.listen === null ? 'change' : 'recipe',
      wishedSeconds: wishedSeconds(session, longestSeconds),
      loudestDifferenceFrame: passage.loudestDifferenceFrame,
      sounds: passage.sounds.map((sound, s) => {
        const id = `sound-${p}-${s}`
        bytes.set(id, sound.bytes)
        const { source, channels, coding, startFrame, frames } = sound
        const sha256 = createHash('sha256').update(sound.bytes).digest('hex')
        return { id, source, channels, coding, startFrame, frames, sha256 }
      }),
    })
  })
  return { listens, bytes }
}
