import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { type Mutant, told } from '../../bench/mutants/mutant.js'
import { shareBetween } from '../../bench/mutants/score.js'

const FOLDER = '.cache/mutants'

interface Tried extends Mutant {
  readonly fate: 'killed' | 'late' | 'lived' | 'refused'
}

const percent = (value: number): string => `${Math.round(100 * value)} %`

/** The last word on each mutant of a log, without those that the compiler refuses. */
const countedOf = (log: string): readonly Tried[] => {
  const lines = readFileSync(join(FOLDER, log), 'utf8').trim().split('\n')
  const last = new Map(
    lines.map(line => {
      const tried = JSON.parse(line) as Tried
      const { file, start, former, replacement } = tried
      return [JSON.stringify([file, start, former, replacement]), tried]
    }),
  )
  return [...last.values()].filter(({ fate }) => fate !== 'refused')
}

const rowOf = (room: string, counted: readonly Tried[]): string => {
  const killed = counted.filter(({ fate }) => fate !== 'lived').length
  const [low, high] = shareBetween(killed, counted.length)
  const cells = [
    `\`src/${room}\``,
    counted.length,
    killed,
    percent(killed / counted.length),
    `${percent(low)} to ${percent(high)}`,
  ]
  return `| ${cells.join(' | ')} |`
}

/** Score by room from what `npm run mutants` kept, and what lived. Null where nothing was tried. */
export const mutantsTable = (): string | null => {
  const logs = existsSync(FOLDER) ? readdirSync(FOLDER).filter(name => name.endsWith('.jsonl')) : []
  if (logs.length === 0) return null
  const rooms = logs.sort().map(log => ({ room: log.replace(/-\d+\.jsonl$/, ''), counted: countedOf(log) }))
  const lived = rooms.flatMap(({ counted }) => counted.filter(({ fate }) => fate === 'lived'))
  return [
    '| room | mutants drawn | noticed | score | 95 % of such samples would say |',
    '| --- | --- | --- | --- | --- |',
    ...rooms.map(({ room, counted }) => rowOf(room, counted)),
    '',
    'What lived:',
    '',
    '```',
    ...lived.map(told).sort(),
    '```',
  ].join('\n')
}
