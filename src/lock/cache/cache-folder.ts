import path from 'node:path'
import envPaths from 'env-paths'

/**
 * Where this machine keeps what can be made again: the folder named by SUMWELL_CACHE, which several machines may share, else the
 * system's own place for such things. Null where SUMWELL_CACHE is empty: nothing is kept.
 */
export const cacheFolder = (environment: NodeJS.ProcessEnv): string | null => {
  const named = environment['SUMWELL_CACHE']
  if (named === '') return null
  return named === undefined ? envPaths('sumwell', { suffix: '' }).cache : path.resolve(named)
}
