import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { shareBetween } from '../../bench/mutants/score.js'

const FOLDER = '.cache/mutants'

interface Tried {
  readonly file: string
  readonly line: number
  readonly start: number
  readonly former: string
  readonly replacement: string
  readonly fate: 'killed' | 'late' | 'lived' | 'refused'
}

const percent = (value: number): string => `${Math.round(100 * value)} %`

/** Score by room from what `npm run mutants` kept; the last word on each mutant counts. Null where nothing was tried. */
export const mutantsTable = (): string | null => {
  const logs = existsSync(FOLDER) ? readdirSync(FOLDER).filter(name => name.endsWith('.jsonl')) : []
  if (logs.length === 0) return null
  const rooms = logs.sort().map(name => {
    const lines = readFileSync(join(FOLDER, name), 'utf8').trim().split('\n')
    const last = new Map(
      lines.map(line => {
        const tried = JSON.parse(line) as Tried
        return [JSON.stringify([tried.file, tried.line, tried.start, tried.former, tried.replacement]), tried]
      }),
    )
    const counted = [...last.values()].filter(({ fate }) => fate !== 'refused')
    const killed = counted.filter(({ fate }) => fate !== 'lived').length
    const [low, high] = shareBetween(killed, counted.length)
    const room = name.replace(/-\d+\.jsonl$/, '')
    return `| \`src/${room}\` | ${counted.length} | ${killed} | ${percent(killed / counted.length)} | ${percent(low)} to ${percent(high)} |`
  })
  return [
    '| room | mutants drawn | noticed | score | 95 % of such samples would say |',
    '| --- | --- | --- | --- | --- |',
    ...rooms,
  ].join('\n')
}
