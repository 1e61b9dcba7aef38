import { createHash } from 'node:crypto'
import { appendFileSync, existsSync, mkdirSync, readdirSync, readFileSync } from 'node:fs'
import path from 'node:path'

const FOLDER = '.cache/bench'

/** Twelve digits that change with any file of these folders and files. */
export const digestOf = (places: readonly string[]): string => {
  const hash = createHash('sha256')
  const add = (place: string): void => {
    hash.update(place).update(readFileSync(place))
  }
  for (const place of places) {
    if (place.endsWith('.ts')) add(place)
    else
      readdirSync(place, { recursive: true, encoding: 'utf8' })
        .filter(file => file.endsWith('.ts'))
        .sort()
        .forEach(file => {
          add(path.join(place, file))
        })
  }
  return hash.digest('hex').slice(0, 12)
}

/**
 * Results of a long run that is stopped and taken up again: lines of JSON by name, valid for one state of the code. A line that was cut off
 * is left out.
 */
export const keptLines = <T>(name: string, digest: string): { lines: T[]; keep: (line: T) => void } => {
  mkdirSync(FOLDER, { recursive: true })
  const file = path.join(FOLDER, `${name}-${digest}.jsonl`)
  const lines = existsSync(file)
    ? readFileSync(file, 'utf8')
        .split('\n')
        .slice(0, -1)
        .map(line => JSON.parse(line) as T)
    : []
  return {
    lines,
    keep: line => {
      appendFileSync(file, `${JSON.stringify(line)}\n`)
    },
  }
}
