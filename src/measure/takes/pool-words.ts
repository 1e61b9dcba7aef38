import type { SessionGroup } from '../../recipe/session.js'
import { signed } from '../../terms/figure-text.js'
import { metresFromSamples, msFromSamples } from '../../terms/units.js'
import type { Warning } from '../../terms/warning.js'
import type { PooledLag, PooledTake, SourceMeasurement } from '../measurement.js'

/** "take 3", or with its song where that is another one. */
export const takeName = ({ song, take }: PooledTake, present: PooledTake | undefined): string => {
  const isSong = song === present?.song
  if (take === null) return isSong ? 'the present take' : song
  return isSong ? `take ${take}` : `${song}, take ${take}`
}

const listed = (names: readonly string[]): string =>
  names.length < 2 ? (names[0] ?? '') : `${names.slice(0, -1).join(', ')} and ${names[names.length - 1]!}`

/** Which takes are odd, or that the takes do not agree. */
export const poolWarnings = (
  group: SessionGroup,
  source: SourceMeasurement,
  pooled: PooledLag,
  temperatureCelsius: number,
): readonly Warning[] => {
  const { takes } = pooled
  const present = takes.find(({ isThis }) => isThis)
  const odd = takes.filter(({ state }) => state === 'odd')
  const told = (code: 'ODD_TAKE' | 'TAKES_DISAGREE', message: string): Warning => ({
    code,
    group: group.name,
    source: source.name,
    message,
  })
  if (pooled.lagSamples === null) {
    if (odd.length < 2) return []
    const lags = odd.map(
      one =>
        `${takeName(one, present)} ${signed(msFromSamples(one.lagSamples!, group.sampleRateHz), 3)} ms${way(one)}`,
    )
    return [
      told(
        'TAKES_DISAGREE',
        `The takes do not agree on one lag (${listed(lags)}), and not more than half of them do: something was moved. ` +
          'Each keeps its own; list only takes of one setup (takes:, setup:).',
      ),
    ]
  }
  return odd.map(one => {
    const kept = one.isThis ? 'It keeps its own lag' : 'It is left out'
    return told(
      'ODD_TAKE',
      `${capital(takeName(one, present))} is odd: ${apart(one, pooled, group, temperatureCelsius)} ` +
        `${kept}. If something was moved before it, take it off the list (takes:, setup:); if not, listen to it.`,
    )
  })
}

const way = ({ polarity }: PooledTake): string => (polarity === 'inverted' ? ' inverted' : '')

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1)

const apart = (
  one: PooledTake,
  { takes }: PooledLag,
  { sampleRateHz }: SessionGroup,
  temperatureCelsius: number,
): string => {
  const others = takes.filter(({ state }) => state === 'pooled')
  const together = `${others.length} others agree`
  if (others.some(({ polarity }) => polarity !== one.polarity)) {
    return `it is ${one.polarity === 'inverted' ? 'inverted' : 'not inverted'}, and the ${together} that it is the other way round.`
  }
  const by = one.differsSamples!
  const ms = signed(msFromSamples(by, sampleRateHz), 3)
  const cm = (100 * metresFromSamples(Math.abs(by), sampleRateHz, temperatureCelsius)).toFixed(1)
  return `it is ${ms} ms (${signed(by, 1)} frames, ${cm} cm of air) beside the lag that the ${together} on.`
}
