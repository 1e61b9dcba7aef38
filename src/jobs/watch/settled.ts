import { statSync } from 'node:fs'
import { setTimeout as pause } from 'node:timers/promises'

/** A text is saved in one go: this long after the last sign of a change it is whole. */
const QUIET_MS = 200
/** A recorder writes in bursts: a recording is whole when it has not grown for this long. */
const RECORDER_QUIET_MS = 2000

/** How a file looks from outside; empty where there is none. */
const lookOf = (file: string): string => {
  const stats = statSync(file, { bigint: true, throwIfNoEntry: false })
  return stats === undefined ? '' : `${stats.size} ${stats.mtimeNs} ${stats.ino}`
}

/**
 * Waits until nobody seems to write to any of the files any more. `files` may grow meanwhile.
 * @param isRecording a recorder may still be at work on such a file
 * @throws AbortError when `signal` aborts
 */
export const settled = async (
  files: ReadonlySet<string>,
  isRecording: (file: string) => boolean,
  signal: AbortSignal,
): Promise<void> => {
  const looks = () => [...files].map(file => `${file}\n${lookOf(file)}`).join('\n')
  for (let before = looks(); ; ) {
    await pause([...files].some(isRecording) ? RECORDER_QUIET_MS : QUIET_MS, undefined, { signal })
    const now = looks()
    if (now === before) return
    before = now
  }
}
