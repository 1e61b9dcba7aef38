import { setFlagsFromString } from 'node:v8'
import { runInNewContext } from 'node:vm'

type Collect = (kind?: { readonly type: 'minor' }) => void

let collect: Collect | null | undefined

/** The engine's own function; null where it has none. It is not left standing about for others to find. */
const found = (): Collect | null => {
  if (collect !== undefined) return collect
  try {
    setFlagsFromString('--expose-gc')
    const known: unknown = runInNewContext('globalThis.gc')
    collect = typeof known === 'function' ? (known as Collect) : null
    setFlagsFromString('--no-expose-gc')
  } catch {
    collect = null
  }
  return collect
}

/**
 * Gives back what short-lived values of this thread took, in about a millisecond. The engine by itself waits until 32 MB of arrays lie about, in each
 * thread; after a piece of work of which nothing is needed any more, nobody has to. Changes no result.
 */
export const collectShortLived = (): void => {
  found()?.({ type: 'minor' })
}

/**
 * Gives back everything that this thread no longer needs: some twenty milliseconds. For a process that is all ours, between two kinds of work. Changes
 * no result.
 */
export const collectAll = (): void => {
  const collecting = found()
  collecting?.()
  collecting?.() // what the first one emptied goes back to the system with the second
}
