import { readFileSync } from 'node:fs'
import { dirname, join, normalize } from 'node:path'
import ts from 'typescript'

const cache = new Map<string, readonly string[]>()

const importsOf = (file: string): readonly string[] => {
  const seen = cache.get(file)
  if (seen !== undefined) return seen
  const { importedFiles } = ts.preProcessFile(readFileSync(file, 'utf8'), true, true)
  const found = importedFiles
    .map(({ fileName }) => fileName)
    .filter(name => name.startsWith('.') && name.endsWith('.js'))
    .map(name => normalize(join(dirname(file), name.replace(/\.js$/, '.ts'))))
    .filter(name => !name.includes('/generated/'))
  cache.set(file, found)
  return found
}

/** The files that `file` reads, directly or through others, itself included. */
export const reachedFrom = (file: string): ReadonlySet<string> => {
  const reached = new Set([file])
  for (const at of reached) for (const next of importsOf(at)) reached.add(next)
  return reached
}
