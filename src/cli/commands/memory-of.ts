import type { MemoryWish } from '../../jobs/memory/memory.js'
import { cacheFolder } from '../../lock/cache/cache-folder.js'
import { openStore } from '../../lock/cache/store.js'
import type { Options } from '../options.js'

/** What a command may take from earlier runs on this machine. */
export const memoryOf = ({ force, verifySources }: Pick<Options, 'force' | 'verifySources'>): MemoryWish => {
  const folder = cacheFolder(process.env)
  return { store: folder === null ? null : openStore(folder), force, verifySources }
}
