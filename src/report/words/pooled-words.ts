import type { PooledLag, PooledTake } from '../../measure/measurement.js'
import { counted, fixed, signed } from './figures.js'

/** "4", or with its song where that is another one. */
const nameOf = ({ song, take }: PooledTake, present: PooledTake | undefined): string =>
  song === present?.song ? (take ?? 'this one') : take === null ? song : `${song} ${take}`

const lagWords = ({ lagSamples, lagUncertaintySamples }: PooledTake): string =>
  lagSamples === null
    ? 'unknown'
    : `${signed(lagSamples, 2)}${lagUncertaintySamples === null ? '' : ` ± ${fixed(lagUncertaintySamples, 2)}`} frames`

const namesOf = (takes: readonly PooledTake[], present: PooledTake | undefined): string =>
  takes.map(one => nameOf(one, present)).join(', ')

/** What several takes said of a source together, in one line; null where none were pooled. */
export const pooledWords = (pooled: PooledLag | null): string | null => {
  if (pooled === null) return null
  const { takes, lagSamples, uncertaintySamples, used } = pooled
  const present = takes.find(({ isThis }) => isThis)
  const inPool = takes.filter(({ state }) => state === 'pooled')
  const odd = takes.filter(({ state }) => state === 'odd')
  const own = present === undefined ? '' : `by itself ${lagWords(present)}`
  if (lagSamples === null || uncertaintySamples === null) {
    const why = odd.length > 1 ? 'the takes do not agree' : 'no two takes are sure by themselves'
    return `its own lag: ${why} (${counted(takes.length, 'take')})`
  }
  const together = `${counted(inPool.length, 'take')} (${namesOf(inPool, present)})`
  const figure = `${signed(lagSamples, 2)} ± ${fixed(uncertaintySamples, 2)} frames`
  const others = odd.filter(({ isThis }) => !isThis)
  const named =
    others.length === 0
      ? ''
      : `; odd: ${others.map(one => `${nameOf(one, present)} (${signed(one.differsSamples ?? 0, 1)})`).join(', ')}`
  if (used) return `one lag from ${together}: ${figure}; ${own}${named}`
  const polarity = inPool[0]?.polarity ?? ''
  return present?.state === 'odd' || present?.state === 'moving'
    ? `its own lag; ${together} say together ${figure}${named}`
    : `not sure by itself; ${together} say together ${figure}, ${polarity}: if nothing was moved, state it (lag: ${lagSamples.toFixed(1)} samples)${named}`
}
