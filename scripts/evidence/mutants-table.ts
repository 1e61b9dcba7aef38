import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { type Mutant, told } from '../../bench/mutants/mutant.js'
import { shareBetween } from '../../bench/mutants/score.js'
import { becauseOf } from './lived-because.js'

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

/** One drawn sample, as it is kept in a log: `measure-quick-1.jsonl` is the sample of seed 1, without the slow tests. */
interface Sample {
  readonly room: string
  readonly quick: boolean
  readonly seed: number
  readonly counted: readonly Fates[]
}

const LOG = /^(\w+?)(-quick)?-(\d+)\.jsonl$/

const sampleOf = (log: string): Sample[] => {
  const [, room, quick, seed] = LOG.exec(log) ?? []
  return room === undefined
    ? []
    : [{ room, quick: quick !== undefined, seed: Number(seed), counted: countedOf(log) }]
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

/** `counted` mutants of a sample at the first look, as `94 of 120 (78 %)`. */
const atFirst = (counted: readonly Fates[]): string => {
  const hits = noticed(counted.map(({ first }) => first))
  return `${hits} of ${counted.length} (${percent(hits / counted.length)})`
}

/** The sample of the lowest seed is the one that tests were written on; the others came after. */
const rowOf = ([own, ...fresh]: readonly [Sample, ...Sample[]]): string => {
  const { room, quick, counted } = own
  const total = counted.length
  const first = noticed(counted.map(({ first: tried }) => tried))
  const last = noticed(counted.map(({ last: tried }) => tried))
  const [low, high] = shareBetween(first, total)
  const cells = [
    `\`src/${room}\``,
    quick ? 'the quick ones' : 'all',
    total,
    `${first} (${percent(first / total)})`,
    `${percent(low)} to ${percent(high)}`,
    `${last} (${percent(last / total)})`,
    fresh.length === 0 ? 'not drawn' : fresh.map(sample => atFirst(sample.counted)).join(', '),
  ]
  return `| ${cells.join(' | ')} |`
}

const HEAD = [
  '| room | tests of the room | mutants drawn | noticed at first | 95 % of such samples would say | noticed by now | of a fresh sample |',
  '| --- | --- | --- | --- | --- | --- | --- |',
]

/** Rows and lived mutants of a room that was not run here, as the page has them. */
const keptOf = (former: string, room: string): { readonly row: string[]; readonly lived: string[] } => {
  const lines = former.split('\n')
  const row = lines.filter(line => line.startsWith(`| \`src/${room}\` |`))
  const cells = HEAD[0]!.split('|').length
  return {
    row: row.map(line => (line.split('|').length < cells ? `${line} not drawn |` : line)),
    lived: lines.flatMap((line, i) => {
      if (!line.startsWith(`src/${room}/`)) return []
      const reason = lines[i + 1]?.startsWith('    ') === true ? [lines[i + 1]!] : []
      return [line, ...reason]
    }),
  }
}

const withReason = (mutant: string): string => {
  const because = becauseOf(mutant)
  return because === null ? mutant : `${mutant}\n    ${because}`
}

/**
 * Score by room from what `npm run mutants` kept, and what lived. Rooms that were not run here stay as in `former`, the text between the marks.
 * Null where nothing was tried.
 */
export const mutantsTable = (former: string): string | null => {
  const logs = existsSync(FOLDER) ? readdirSync(FOLDER) : []
  const samples = logs.flatMap(sampleOf).sort((a, b) => a.seed - b.seed)
  if (samples.length === 0) return null
  const kept = [...former.matchAll(/^\| `src\/(\w+)`/gm)].map(([, room]) => room!)
  const rooms = [...new Set([...kept, ...samples.map(({ room }) => room)])].sort()
  const parts = rooms.map(room => {
    const [first, ...more] = samples.filter(sample => sample.room === room)
    if (first === undefined) return keptOf(former, room)
    const lived = [first, ...more].flatMap(({ counted }) =>
      counted.flatMap(({ last }) => (last.fate === 'lived' ? [told(last)] : [])),
    )
    return { row: [rowOf([first, ...more])], lived: [...new Set(lived)].sort().map(withReason) }
  })
  return [
    ...HEAD,
    ...parts.flatMap(({ row }) => row),
    '',
    'What lived:',
    '',
    '```',
    ...parts.flatMap(({ lived }) => lived),
    '```',
  ].join('\n')
}
