import { HARD_KINDS } from '../test/corpus/hard-cases.js'
import { judgedCases } from './measuring/judged-cases.js'

/*
 * CASES of every kind (150, that is 3,000 in all); SEED names the set: `figures` for the figures, any other to tune by; BUDGET_SECONDS stops early.
 * The kinds take turns, so that a run that was stopped has about as many of each.
 */
const CASES = Number(process.env['CASES'] ?? 150)
const SEED = process.env['SEED'] ?? 'figures'

/** Table: generated hard cases, kind by kind: how many are called sure, and how many of those wrongly. */
export const run = async (): Promise<string> => {
  const questions = Array.from({ length: CASES }, (_, i) =>
    HARD_KINDS.map(kind => ({ kind, seed: `${SEED} ${i}`, grid: false })),
  ).flat()
  const done = await judgedCases('hard', questions)
  const rows = ['| kind | cases | sure | unsure | unknown | wrongly sure |', '|---|---|---|---|---|---|']
  for (const kind of [...HARD_KINDS, 'all'] as const) {
    const some = done.filter(d => kind === 'all' || d.kind === kind).map(d => d.answer)
    const count = (verdict: string): number => some.filter(a => a.verdict === verdict).length
    const wrong = some.filter(a => a.wronglySure).length
    rows.push(
      `| ${kind} | ${some.length} | ${count('sure')} | ${count('unsure')} | ${count('unknown')} | ${wrong} |`,
    )
  }
  return rows.join('\n')
}
