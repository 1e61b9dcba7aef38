import { createHash } from 'node:crypto'
import type { Plan, PlannedSource } from '../../decide/plan.js'
import type { Session } from '../../recipe/session.js'
import type { Pooled } from '../../terms/task.js'
import type { reportTasks } from '../tasks.js'
import type { Listen, SoundBytes } from './listen.js'
import { BYTES_OF, codingFor } from './packing.js'
import { LONGEST_SECONDS, type PassageAsk, type PassagePlace, passageAsk, placeOf } from './passage-ask.js'
import type { PassageInput, PassageSound } from './passage-task.js'
import { MOST_TEXT_BYTES, textBytes } from './room.js'

/** Shorter than this nothing can be judged: a page with very many recordings rather grows. */
const SHORTEST_SECONDS = 4
/** A second try is made this much shorter than the room of the first asks for: other seconds take other room. */
const SAFETY = 0.98
/** Of what it takes unpacked, a recording takes this at the least, unless it is mostly silent. */
const BEST_SHARE = 0.5

/** Bytes of a second of all recordings, were they not packed closely. */
const plainBytesPerSecond = (recordings: readonly PlannedSource[]): number =>
  recordings.reduce(
    (sum, { facts, channels }) =>
      sum + facts.sampleRateHz * channels * BYTES_OF[codingFor(facts.bitDepth, facts.sampleFormat)],
    0,
  )

/** How much of the page a second of all recordings would take, were they not packed closely. */
const plainTextPerSecond = (asks: readonly PassageAsk[], plan: Plan): number => {
  const keys = new Set(asks.flatMap(({ passage }) => passage.recordings.map(({ key }) => key)))
  return textBytes(Math.max(1, plainBytesPerSecond(plan.sources.filter(({ key }) => keys.has(key)))))
}

/** With what length to begin: longer would hardly fit however well it packs. */
const firstTrySeconds = (plainText: number, roomBytes: number): number => {
  const seconds = roomBytes / (BEST_SHARE * plainText)
  return Math.max(SHORTEST_SECONDS, Math.min(LONGEST_SECONDS, Math.floor(10 * seconds) / 10))
}

export interface Passages {
  /** By group; groups without one have nothing to compare. */
  readonly listens: ReadonlyMap<string, Listen>
  readonly bytes: SoundBytes
}

export interface PassageLimits {
  /** As for `passageAsk`. */
  readonly longestSeconds?: number
  /** What all passages together may take as text. */
  readonly roomBytes?: number
}

/**
 * The passages of all groups of a song, with their sound: as long as is wished, or as fits the page, one length for all groups. How much room a
 * recording takes is only known when it is looked through, so that a second try may be needed. What will hardly fit is not packed to see.
 */
export const passagesOf = async (
  session: Session,
  plan: Plan,
  tasks: Pooled<typeof reportTasks>,
  { longestSeconds = LONGEST_SECONDS, roomBytes = MOST_TEXT_BYTES }: PassageLimits = {},
): Promise<Passages> => {
  const asks = session.groups.flatMap(group => passageAsk(session, plan, group, longestSeconds) ?? [])
  const looks = await Promise.all(asks.map(ask => tasks.passageLooks(ask.looks)))
  const plainText = plainTextPerSecond(asks, plan)
  const first = firstTrySeconds(plainText, roomBytes)
  for (let seconds = first; ; ) {
    const places = asks.map((ask, a) => placeOf(ask, looks[a]!, seconds))
    const inputs = asks.map(({ passage }, a) => oneByOne({ ...passage, ...frameOf(places[a]!) }))
    const packed = () => Promise.all(inputs.map(some => Promise.all(some.map(input => tasks.passage(input)))))
    const found = seconds < first || seconds * plainText <= roomBytes ? await packed() : null
    const sizes =
      found === null
        ? await Promise.all(inputs.flat().map(input => tasks.passageRoom(input)))
        : found.flat().map(({ bytes }) => bytes.length)
    const room = sizes.reduce((sum, bytes) => sum + textBytes(bytes), 0)
    if (room <= roomBytes || seconds <= SHORTEST_SECONDS) {
      return passagesWith(asks, places, found ?? (await packed()))
    }
    const held = Math.max(...places.map(({ frames }, a) => frames / asks[a]!.looks.sampleRateHz))
    const shorter = Math.floor((10 * SAFETY * held * roomBytes) / room) / 10
    seconds = Math.max(SHORTEST_SECONDS, Math.min(shorter, seconds - 0.1))
  }
}

const oneByOne = ({
  recordings,
  uses,
  ...rest
}: Omit<PassageInput, 'recording'> & Pick<PassageAsk['passage'], 'recordings'>): readonly PassageInput[] =>
  recordings.map(recording => ({ ...rest, recording, uses: uses.filter(({ key }) => key === recording.key) }))

const frameOf = ({ startFrame, frames }: PassagePlace) => ({ startFrame, frames })

const passagesWith = (
  asks: readonly PassageAsk[],
  places: readonly PassagePlace[],
  found: readonly (readonly PassageSound[])[],
): Passages => {
  const listens = new Map<string, Listen>()
  const held = new Map<string, Uint8Array>()
  asks.forEach(({ group, wishedSeconds, chosenBy, looks: { sampleRateHz } }, a) => {
    const { startFrame, frames, loudestDifferenceFrame } = places[a]!
    const sounds = found[a]!.map(({ bytes, ...sound }, s) => {
      const id = `sound-${a}-${s}`
      held.set(id, bytes)
      const { source, channels, coding } = sound
      const sha256 = createHash('sha256').update(bytes).digest('hex')
      return { id, source, channels, coding, startFrame: sound.startFrame, frames: sound.frames, sha256 }
    })
    const startSeconds = startFrame / sampleRateHz
    listens.set(group, {
      startSeconds,
      startFrame,
      frames,
      chosenBy,
      wishedSeconds,
      loudestDifferenceFrame,
      sounds,
    })
  })
  return { listens, bytes: held }
}
