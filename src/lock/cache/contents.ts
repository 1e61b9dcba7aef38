import type { Fingerprint } from '../../wave/fingerprint.js'
import { type FileMark, type FileMemory, isUnchanged } from './file-memory.js'

/** What the recordings of a song hold: looked into once, as they were at that moment. */
export interface Contents {
  /** @throws what reading throws */
  know(files: readonly string[]): Promise<void>
  /** Of a file that is known. */
  fingerprint(file: string): Fingerprint | undefined
  /** Whether a known file is still the one that was looked into. */
  stands(file: string): boolean
}

interface Looked {
  readonly mark: FileMark | null
  readonly fingerprint: Fingerprint
}

/** @param look Reads a recording, perhaps in another thread. */
export const contentsWith = (
  memory: FileMemory<Fingerprint>,
  look: (input: { readonly file: string }) => Promise<Fingerprint>,
): Contents => {
  const known = new Map<string, Looked>()
  const lookInto = async (file: string): Promise<Looked> => {
    const mark = memory.mark(file)
    const remembered = memory.recall(file)
    if (remembered !== null) return { mark, fingerprint: remembered }
    const fingerprint = await look({ file })
    if (mark !== null) memory.remember(file, mark, fingerprint)
    return { mark, fingerprint }
  }
  return {
    know: async files => {
      const fresh = [...new Set(files)].filter(file => !known.has(file))
      const looked = await Promise.allSettled(fresh.map(lookInto))
      looked.forEach((result, i) => {
        if (result.status === 'fulfilled') known.set(fresh[i]!, result.value)
      })
      const failed = looked.find(result => result.status === 'rejected')
      if (failed !== undefined) throw failed.reason
    },
    fingerprint: file => known.get(file)?.fingerprint,
    stands: file => {
      const mark = known.get(file)?.mark ?? null
      return mark !== null && isUnchanged(file, mark)
    },
  }
}
