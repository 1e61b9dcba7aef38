import type { ReportGroup, ReportSource } from '../report.js'
import { metres, milliseconds } from './figures.js'

const PATH_WORDS = { direct: 'direct', pickup: 'pickup', mic: 'mic', reamp: 'reamp' } as const

/** "bridge mic", "piezo pickup"; the name alone where it says the path itself, or the path is not told. */
export const callOf = (source: ReportSource): string => {
  if (source.fromGroup !== null) return `${source.name} group`
  if (source.via === null || source.name.toLowerCase().includes(source.via)) return source.name
  return `${source.name} ${PATH_WORDS[source.via]}`
}

/** Below this a lag is not worth a word, ms: a fifth of a frame at 48 kHz. */
const IN_TIME_MS = 0.004

/** What was found: "1.99 ms late, 0.68 m, the other way round". Empty for a source that is in time and normal. */
export const foundWords = (source: ReportSource): readonly string[] => {
  const { lagMs, distanceMetres, polarity } = source.measured
  const words: string[] = []
  if (lagMs !== null && Math.abs(lagMs) >= IN_TIME_MS) {
    words.push(`${milliseconds(Math.abs(lagMs))} ${lagMs > 0 ? 'late' : 'early'}`)
    if (distanceMetres !== null && distanceMetres > 0) words.push(metres(distanceMetres))
  }
  if (polarity === 'inverted') words.push('the other way round')
  return words
}

const shiftWords = (source: ReportSource, shiftMs: number): string | null => {
  const { lagMs } = source.measured
  if (Math.abs(shiftMs) < IN_TIME_MS) return null
  const size = milliseconds(Math.abs(shiftMs))
  const undoesTheLag = lagMs !== null && Math.abs(lagMs + shiftMs) < IN_TIME_MS
  const amount = undoesTheLag ? '' : ` ${size}`
  return shiftMs < 0 ? `pulled forward${amount}` : `moved later${amount}`
}

/** What was done: "pulled forward, inverted", "left as recorded". */
export const doneWords = (source: ReportSource, sampleRateHz: number): string => {
  const { move, measured, stated } = source
  if (move === null) return staysForDoubt(source) ? 'left as recorded' : 'moved as one'
  const words = [shiftWords(source, move.shiftMs), move.polarity === 'inverted' ? 'inverted' : null]
  if (stated.nudgeSamples !== 0 && measured.verdict === 'sure') {
    const ms = (stated.nudgeSamples * 1000) / sampleRateHz
    words.push(`${milliseconds(Math.abs(ms))} left ${ms > 0 ? 'late' : 'early'} on purpose`)
  }
  if (source.pieces !== undefined && move.follow !== null) words.push('each piece by its own lag')
  else if (move.follow !== null) words.push('followed through the take')
  const said = words.filter(word => word !== null)
  if (said.length > 0) return said.join(', ')
  return source.isReference ? 'stays in place' : 'left as recorded'
}

/** A group as a source whose lag is to be measured, and is not sure: it was not moved. */
const staysForDoubt = ({ measured, stated }: ReportSource): boolean =>
  stated.lag === 'measured' && measured.verdict !== 'sure'

/** The same in few letters, for narrow columns: "forward, inverted", "as recorded". */
export const doneBriefly = (source: ReportSource): string => {
  const { move } = source
  if (move === null) return staysForDoubt(source) ? 'as recorded' : 'as one'
  const words = [
    Math.abs(move.shiftMs) < IN_TIME_MS ? null : move.shiftMs < 0 ? 'forward' : 'later',
    move.polarity === 'inverted' ? 'inverted' : null,
  ].filter(word => word !== null)
  if (words.length > 0) return words.join(', ')
  return source.isReference ? '' : 'as recorded'
}

/** One clause on a source: "bridge mic 1.99 ms late, 0.68 m: pulled forward". */
export const sourceClause = (source: ReportSource, sampleRateHz: number): string => {
  const done = doneWords(source, sampleRateHz)
  const { verdict, reason } = source.measured
  if (verdict === 'unknown') {
    return `${callOf(source)}: ${reason === null ? 'lag not known' : 'not known'}, ${done}`
  }
  const found = foundWords(source)
  const seen = found.length > 0 ? found.join(', ') : 'in time'
  return `${callOf(source)} ${verdict === 'unsure' ? 'perhaps ' : ''}${seen}: ${done}`
}

/** What waiting for the latest costs: how late the whole group now is against the rest of the song. */
export const lateClause = (group: ReportGroup): readonly string[] => {
  const ms = (group.lateSamples * 1000) / group.sampleRateHz
  return ms < IN_TIME_MS
    ? []
    : [`the whole group is now ${milliseconds(ms)} late against the rest of the song`]
}

/**
 * What was wrong and what was done, one clause a source; the reference only where something was done to it or it cannot serve. Then how late
 * the group as a whole has become.
 */
export const groupClauses = (group: ReportGroup): readonly string[] => [
  ...group.sources
    .filter(source => {
      if (!source.isReference) return true
      const { move, measured } = source
      return (
        measured.verdict !== 'sure' ||
        (move !== null && (move.polarity === 'inverted' || Math.abs(move.shiftMs) >= IN_TIME_MS))
      )
    })
    .map(source => sourceClause(source, group.sampleRateHz)),
  ...lateClause(group),
]
