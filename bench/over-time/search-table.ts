import { MOVING_RATE_HZ as RATE } from '../../test/corpus/moving-cases.js'
import { digestOf, keptLines } from '../measuring/kept.js'
import { inProcesses } from '../measuring/processes.js'
import { SEARCH_SECONDS, type SearchAnswer, type SearchQuestion } from './search-child.js'

const SEARCHES = [0.04, 0.5, 1, 2, 4] as const
/** Level of a second copy 0.3 s after the first, dB. */
const ECHOES = [3, 0, -1, -3, -6, -12] as const
const ECHO_SEARCH = 2

interface DoneSearch extends SearchQuestion {
  readonly answer: SearchAnswer
}

const keyOf = ({ seed, searchSeconds, echoDb }: SearchQuestion): string =>
  `${seed} ${searchSeconds} ${echoDb}`

/**
 * Two tables: what a wide search costs and whether the lag stays as exact as with a narrow one, for a lag at nine tenths of it; and
 * what is said where the sound comes twice. Every case is the same take, later; none is a drum pattern, which comes round again within a
 * wide search and then is rightly `unsure`.
 */
export const searchTables = async (seed: string, cases: number, over: () => boolean): Promise<string> => {
  const digest = digestOf(['src/measure', 'src/signal', 'test/corpus', 'bench/over-time'])
  const { lines, keep } = keptLines<DoneSearch>('search', digest)
  const done = new Map(lines.map(line => [keyOf(line), line.answer]))
  const seeds = Array.from({ length: cases }, (_, i) => `${seed} search ${i}`)
  const searches = SEARCHES.map(searchSeconds =>
    seeds.map((s): SearchQuestion => ({ seed: s, searchSeconds, echoDb: null })),
  )
  const echoes = ECHOES.map(echoDb =>
    seeds.map((s): SearchQuestion => ({ seed: s, searchSeconds: ECHO_SEARCH, echoDb })),
  )
  // The takes take turns, so that a run that was stopped has as many of each.
  const inputs = seeds.flatMap((_, i) => [...searches, ...echoes].map(questions => questions[i]!))
  await inProcesses<SearchQuestion, SearchAnswer>({
    module: new URL('search-child.ts', import.meta.url).href,
    inputs: inputs.filter(q => !done.has(keyOf(q))),
    over,
    took: (question, answer) => {
      done.set(keyOf(question), answer)
      keep({ ...question, answer })
    },
  })
  const answersTo = (questions: readonly SearchQuestion[]): SearchAnswer[] =>
    questions.flatMap(q => done.get(keyOf(q)) ?? [])
  return [...searchRows(searches, answersTo, done), '', ...echoRows(echoes, answersTo)].join('\n')
}

const searchRows = (
  searches: readonly (readonly SearchQuestion[])[],
  answersTo: (questions: readonly SearchQuestion[]) => SearchAnswer[],
  done: ReadonlyMap<string, SearchAnswer>,
): string[] => {
  const rows = [
    `| search ± s (${SEARCH_SECONDS} s) | cases | sure | lag against that of the narrow search, frames, worst | processor s per case | times n log n of the search before |`,
    '|---|---|---|---|---|---|',
  ]
  let before: { readonly seconds: number; readonly growth: number } | null = null
  for (const questions of searches) {
    const answers = answersTo(questions)
    const { searchSeconds } = questions[0]!
    const apart = questions.flatMap(q => {
      const here = done.get(keyOf(q))?.errorSamples
      const narrow = done.get(keyOf({ ...q, searchSeconds: SEARCHES[0] }))?.errorSamples
      return here == null || narrow == null ? [] : Math.abs(here - narrow)
    })
    const seconds = answers.reduce((sum, a) => sum + a.seconds, 0) / answers.length
    const n = searchSeconds * RATE
    const growth = n * Math.log(n)
    const times = before === null ? '–' : (seconds / before.seconds / (growth / before.growth)).toFixed(2)
    const sure = answers.filter(a => a.verdict === 'sure').length
    const worst = Math.max(0, ...apart).toFixed(4)
    rows.push(
      `| ${searchSeconds} | ${answers.length} | ${sure} | ${worst} | ${seconds.toFixed(2)} | ${times} |`,
    )
    before = { seconds, growth }
  }
  return rows
}

const echoRows = (
  echoes: readonly (readonly SearchQuestion[])[],
  answersTo: (questions: readonly SearchQuestion[]) => SearchAnswer[],
): string[] => [
  `| second copy 0.3 s later, dB (search ± ${ECHO_SEARCH} s) | cases | sure | unsure | wrongly sure |`,
  '|---|---|---|---|---|',
  ...echoes.map(questions => {
    const answers = answersTo(questions)
    const count = (verdict: string): number => answers.filter(a => a.verdict === verdict).length
    const wrong = answers.filter(a => a.wronglySure).length
    return `| ${questions[0]!.echoDb} | ${answers.length} | ${count('sure')} | ${count('unsure')} | ${wrong} |`
  }),
]
