import * as portable from '../../terms/portable.js'
/** What was heard in one short look at the take. */
export interface Look {
  /** Mean level of each source, dB re full scale; −120 for silence. */
  readonly sourceDb: readonly number[]
  /** Mean level of the blend as recorded and as delivered. */
  readonly recordedDb: number
  readonly deliveredDb: number
}

export interface Choice {
  /** Index of the first look of the passage, and of the one in it where the level changes most. */
  readonly first: number
  readonly loudestDifference: number
}

/** A source plays where it is within this of its own loudest look. */
const PLAYS_DB = 36
const SILENT_DB = -80
/** More change than this does not make a place better. */
const MOST_CHANGE_DB = 12
/** What a look counts where all sources play, before what changes in it, dB. */
const ALL_PLAY = 1
/** Looks that are this much quieter than the loudest blend count for little. */
const QUIET_DB = 20

const powerOf = (db: number): number => portable.exp(db * (Math.LN10 / 10))

/** Difference in power between the two, relative to the loudest look: what is heard as louder or softer. */
const differenceOf = ({ recordedDb, deliveredDb }: Look): number =>
  Math.abs(powerOf(deliveredDb) - powerOf(recordedDb))

const scoresOf = (looks: readonly Look[]): readonly number[] => {
  const tops = (looks[0]?.sourceDb ?? []).map((_, s) =>
    looks.reduce((top, look) => Math.max(top, look.sourceDb[s]!), -Infinity),
  )
  const voters = tops.flatMap((top, s) => (top > SILENT_DB ? [s] : []))
  const loudest = looks.reduce((top, look) => Math.max(top, look.deliveredDb, look.recordedDb), -Infinity)
  return looks.map(look => {
    if (voters.length === 0) return 0
    const playing = voters.filter(s => look.sourceDb[s]! > tops[s]! - PLAYS_DB).length / voters.length
    if (playing < 1) return ALL_PLAY * playing * 0.5
    const change = Math.min(MOST_CHANGE_DB, Math.abs(look.deliveredDb - look.recordedDb))
    const level = Math.max(look.deliveredDb, look.recordedDb)
    return ALL_PLAY + change * (level > loudest - QUIET_DB ? 1 : 0.1)
  })
}

const loudestIn = (looks: readonly Look[], first: number, count: number): number => {
  let best = first
  for (let i = first; i < Math.min(looks.length, first + count); i++) {
    if (differenceOf(looks[i]!) > differenceOf(looks[best]!)) best = i
  }
  return best
}

/** The run of `count` looks in which lining up changes most while all sources play; the earliest of equals. */
export const choosePassage = (looks: readonly Look[], count: number): Choice => {
  const scores = scoresOf(looks)
  const last = Math.max(0, looks.length - count)
  let sum = scores.slice(0, count).reduce((a, b) => a + b, 0)
  let best = 0
  let most = sum
  for (let first = 1; first <= last; first++) {
    sum += scores[first + count - 1]! - scores[first - 1]!
    if (sum > most + 1e-9) {
      most = sum
      best = first
    }
  }
  return { first: best, loudestDifference: loudestIn(looks, best, count) }
}

/** The same where the passage is given. */
export const loudestDifference = (looks: readonly Look[]): number => loudestIn(looks, 0, looks.length)
