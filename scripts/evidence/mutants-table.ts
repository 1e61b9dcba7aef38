import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { type Mutant, told } from '../../bench/mutants/mutant.js'
import { shareBetween } from '../../bench/mutants/score.js'

const FOLDER = '.cache/mutants'

interface Tried extends Mutant {
  readonly fate: 'killed' | 'late' | 'lived' | 'refused'
}

const percent = (value: number): string => `${Math.round(100 * value)} %`

/** One mutant at its first trial and at its last: tests were written in between. */
interface Fates {
  readonly first: Tried
  readonly last: Tried
}

/** Every mutant of a log, without those that the compiler refuses. */
const countedOf = (log: string): readonly Fates[] => {
  const fates = new Map<string, Fates>()
  for (const line of readFileSync(join(FOLDER, log), 'utf8').trim().split('\n')) {
    const tried = JSON.parse(line) as Tried
    const key = JSON.stringify([tried.file, tried.start, tried.former, tried.replacement])
    fates.set(key, { first: fates.get(key)?.first ?? tried, last: tried })
  }
  return [...fates.values()].filter(({ last }) => last.fate !== 'refused')
}

const noticed = (tried: readonly Tried[]): number => tried.filter(({ fate }) => fate !== 'lived').length

const QUICK = /-quick$/

const rowOf = (name: string, counted: readonly Fates[]): string => {
  const total = counted.length
  const first = noticed(counted.map(({ first: tried }) => tried))
  const last = noticed(counted.map(({ last: tried }) => tried))
  const [low, high] = shareBetween(first, total)
  const cells = [
    `\`src/${name.replace(QUICK, '')}\``,
    QUICK.test(name) ? 'the quick ones' : 'all',
    total,
    `${first} (${percent(first / total)})`,
    `${percent(low)} to ${percent(high)}`,
    `${last} (${percent(last / total)})`,
  ]
  return `| ${cells.join(' | ')} |`
}

/** Score by room from what `npm run mutants` kept, and what lived. Null where nothing was tried. */
export const mutantsTable = (): string | null => {
  const logs = existsSync(FOLDER) ? readdirSync(FOLDER).filter(name => name.endsWith('.jsonl')) : []
  if (logs.length === 0) return null
  const rooms = logs.sort().map(log => ({ room: log.replace(/-\d+\.jsonl$/, ''), counted: countedOf(log) }))
  const lived = rooms.flatMap(({ counted }) =>
    counted.map(({ last }) => last).filter(({ fate }) => fate === 'lived'),
  )
  return [
    '| room | tests of the room | mutants drawn | noticed at first | 95 % of such samples would say | noticed by now |',
    '| --- | --- | --- | --- | --- | --- |',
    ...rooms.map(({ room, counted }) => rowOf(room, counted)),
    '',
    'What lived:',
    '',
    '```',
    ...lived.map(told).sort(),
    '```',
  ].join('\n')
}
