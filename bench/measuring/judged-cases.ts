import type { CaseAnswer, CaseQuestion } from './judged-case.js'
import { digestOf, keptLines } from './kept.js'
import { inProcesses } from './processes.js'

export interface DoneCase extends CaseQuestion {
  readonly answer: CaseAnswer
}

const BUDGET_SECONDS = Number(process.env['BUDGET_SECONDS'] ?? Number.POSITIVE_INFINITY)

/** The cases judged, spread over processes; kept in .cache and added to by the next run. In the order of the questions. */
export const judgedCases = async (name: string, questions: readonly CaseQuestion[]): Promise<DoneCase[]> => {
  const digest = digestOf(['src/measure', 'src/signal', 'test/corpus', 'bench/measuring/judged-case.ts'])
  const { lines, keep } = keptLines<DoneCase>(name, digest)
  const keyOf = ({ kind, seed }: CaseQuestion): string => `${kind} ${seed}`
  const done = new Map(lines.map(line => [keyOf(line), line]))
  const started = performance.now()
  await inProcesses<CaseQuestion, CaseAnswer>({
    module: new URL('judged-case.ts', import.meta.url).href,
    inputs: questions.filter(q => !done.has(keyOf(q))),
    over: () => performance.now() - started > 1000 * BUDGET_SECONDS,
    took: (question, answer) => {
      const line = { ...question, answer }
      done.set(keyOf(question), line)
      keep(line)
      if (answer.wronglySure) process.stderr.write(`wrong: ${answer.name}\n`)
    },
  })
  return questions.flatMap(q => done.get(keyOf(q)) ?? [])
}
