/** The signals that ask a run to end: Ctrl-C, a closed window, a shutdown. */
const SIGNALS = ['SIGINT', 'SIGTERM', 'SIGHUP'] as const

export interface Interrupt {
  readonly signal: AbortSignal
  /** Back to the ordinary behaviour: a signal then ends the process. */
  release(): void
}

/**
 * The first signal aborts: work ends, temporary files go, the command ends by itself with 130. The second ends the process at once.
 * @param first Called at the first signal, to tell the person that it was heard.
 */
export const listenForInterrupt = (first: () => void): Interrupt => {
  const abort = new AbortController()
  const onSignal = () => {
    if (abort.signal.aborted) process.exit(130)
    abort.abort()
    first()
  }
  for (const name of SIGNALS) process.on(name, onSignal)
  return {
    signal: abort.signal,
    release() {
      for (const name of SIGNALS) process.off(name, onSignal)
    },
  }
}
