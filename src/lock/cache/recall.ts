import { createHash } from 'node:crypto'
import type { Recall } from '../../terms/recall.js'
import type { Contents } from './contents.js'
import type { Store } from './store.js'

/**
 * Takes a result from the store where it was made before from the same sound, else makes it and keeps it. In what it was made from, the
 * path of every known recording gives way to what that holds, so that neither names nor metadata matter. What was made while a recording
 * was written to is not kept.
 * @param stamp What makes results: another version of the program never finds these.
 */
export const recallFrom = (store: Store, stamp: string, contents: Contents): Recall => {
  return async (what, input, make) => {
    const files = new Set<string>()
    const text = JSON.stringify(input, (_name, value: unknown) => {
      const known = typeof value === 'string' ? contents.fingerprint(value) : undefined
      if (known === undefined) return value
      files.add(value as string)
      return `${known.audioSha256} ${known.format}`
    })
    const key = `${stamp}\n${what}\n${createHash('sha256').update(text, 'utf8').digest('hex')}`
    const found = store.get(key)
    // The key says what was made: nothing else is ever put under it.
    if (found !== null) return found.value as Awaited<ReturnType<typeof make>>
    const made = await make()
    if ([...files].every(file => contents.stands(file))) store.put(key, made)
    return made
  }
}
