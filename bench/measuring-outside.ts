import { HARD_KINDS } from '../test/corpus/hard-cases.js'
import { digestOf, keptLines } from './measuring/kept.js'
import type { OutsideAnswer, OutsideQuestion, Said } from './measuring/outside-child.js'
import { writeRows } from './measuring/page.js'
import { inProcesses } from './measuring/processes.js'

/*
 * The corpus through what a person would write with a general-purpose library, beside what this program says. CASES real recordings (100)
 * and a tenth as many of every hard kind; BUDGET_SECONDS stops early; cases are kept in .cache and added to by the next run. Needs python3
 * with SciPy.
 */

const CASES = Number(process.env['CASES'] ?? 100)
const BUDGET_SECONDS = Number(process.env['BUDGET_SECONDS'] ?? Number.POSITIVE_INFINITY)

interface DoneCase extends OutsideQuestion {
  readonly answer: OutsideAnswer
}

const share = (part: number, whole: number): string =>
  whole === 0 ? '–' : `${((100 * part) / whole).toFixed(0)} %`

const median = (values: readonly number[]): string =>
  values.length === 0
    ? '–'
    : [...values].sort((a, b) => a - b)[Math.floor((values.length - 1) / 2)]!.toFixed(3)

const rowOf = (
  set: string,
  way: string,
  cases: readonly DoneCase[],
  of: (a: OutsideAnswer) => Said | null,
): string[] => {
  const all = cases.map(({ answer }) => of(answer)).filter(s => s !== null)
  const told = all.filter(s => s.wrong || s.missMs !== null)
  const known = told.filter(s => s.missMs !== null)
  return [
    set,
    way,
    String(cases.length),
    String(told.length),
    share(known.filter(s => s.polarityRight).length, known.length),
    median(known.map(s => s.missMs!)),
    `${told.filter(s => s.wrong).length} (${share(told.filter(s => s.wrong).length, told.length)})`,
  ]
}

/** Table: right polarity, median miss and wrong answers of plain correlation, phase transform and this program. */
export const run = async (): Promise<string> => {
  const digest = digestOf(['src/measure', 'src/signal', 'test/corpus', 'bench/measuring'])
  const { lines, keep } = keptLines<DoneCase>('outside', digest)
  const have = new Set(lines.map(({ kind, seed }) => `${kind} ${seed}`))
  const inputs: OutsideQuestion[] = []
  for (let i = 0; i < CASES; i++) {
    inputs.push({ kind: 'real', seed: `beside ${i}` })
    if (i % 10 === 0) for (const kind of HARD_KINDS) inputs.push({ kind, seed: `beside ${i}` })
  }
  const started = performance.now()
  await inProcesses<OutsideQuestion, OutsideAnswer>({
    module: new URL('measuring/outside-child.ts', import.meta.url).href,
    inputs: inputs.filter(({ kind, seed }) => !have.has(`${kind} ${seed}`)),
    over: () => performance.now() - started > 1000 * BUDGET_SECONDS,
    took: (question, answer) => {
      const done = { ...question, answer }
      lines.push(done)
      keep(done)
    },
  })
  const sets = [
    ['real recordings', lines.filter(l => l.kind === 'real')],
    ['hard, with a truth', lines.filter(l => l.kind !== 'real' && l.answer.hasTruth)],
    ['hard, nothing is true', lines.filter(l => l.kind !== 'real' && !l.answer.hasTruth)],
  ] as const
  const rows = sets.flatMap(([set, cases]) => [
    rowOf(set, 'plain correlation (SciPy `correlate`)', cases, a => a.plain),
    rowOf(set, 'phase transform of the whole file', cases, a => a.phase),
    rowOf(set, 'sumwell, whatever the verdict', cases, a => a.ours),
    rowOf(set, 'sumwell, where it is `sure`', cases, a => a.sure),
  ])
  writeRows('outside', 2, rows)
  return rows.map(row => `| ${row.join(' | ')} |`).join('\n')
}
