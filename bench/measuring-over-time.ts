import type { MovingKind } from '../test/corpus/moving-cases.js'
import { digestOf, keptLines } from './measuring/kept.js'
import { inProcesses } from './measuring/processes.js'
import type { MovingAnswer, MovingQuestion } from './over-time/moving-child.js'
import { searchTables } from './over-time/search-table.js'

/** `figures` for the figures in docs/measuring.md; anything else while the rules are made, so that they are not made to fit. */
const SEED = process.env['SEED'] ?? 'figures'
/** Share of the cases below; BUDGET_SECONDS stops early. Cases are kept in .cache and added to by the next run. */
const SHARE = Number(process.env['SHARE'] ?? 1)
const BUDGET_SECONDS = Number(process.env['BUDGET_SECONDS'] ?? Number.POSITIVE_INFINITY)

interface Batch {
  readonly kind: MovingKind
  readonly seconds: number
  readonly cases: number
  /** Largest error of the drift that is asked for in 95 % of the cases, ppm; null: none is. */
  readonly driftPpm: number | null
}

const BATCHES: readonly Batch[] = [
  { kind: 'still', seconds: 40, cases: 70, driftPpm: null },
  { kind: 'register', seconds: 40, cases: 30, driftPpm: null },
  { kind: 'drift', seconds: 60, cases: 30, driftPpm: 1 },
  { kind: 'drift', seconds: 300, cases: 10, driftPpm: 0.2 },
  { kind: 'fast-drift', seconds: 60, cases: 20, driftPpm: 1 },
  { kind: 'fast-drift', seconds: 300, cases: 3, driftPpm: 0.2 },
  { kind: 'step', seconds: 40, cases: 40, driftPpm: null },
  { kind: 'jump', seconds: 40, cases: 20, driftPpm: null },
  { kind: 'sway', seconds: 40, cases: 12, driftPpm: null },
]

interface DoneTake extends MovingQuestion {
  readonly answer: MovingAnswer
}

const questionsOf = ({ kind, seconds, cases }: Batch): MovingQuestion[] =>
  Array.from({ length: Math.max(1, Math.round(SHARE * cases)) }, (_, i) => ({
    kind,
    seconds,
    seed: `${SEED} ${seconds} ${i}`,
  }))

const keyOf = ({ kind, seed }: MovingQuestion): string => `${kind} ${seed}`

const row = ({ kind, seconds, driftPpm }: Batch, takes: readonly DoneTake[]): string => {
  const told = takes.flatMap(t => t.answer ?? [])
  const sure = told.filter(a => a.sure)
  const worstMs = Math.max(0, ...sure.map(a => a.lagOffMs ?? 0))
  const off = told.map(a => a.driftOffPpm).sort((a, b) => a - b)
  const at95 = off[Math.ceil(0.95 * off.length) - 1] ?? Number.NaN
  const count = told.filter(a => a.isDriftTold).length
  const drift =
    driftPpm === null
      ? `${count} | – | –`
      : `${count} | ${at95.toFixed(3)} | ${off.filter(o => o <= driftPpm).length} within ${driftPpm}`
  const promised = told.filter(a => a.isPromised)
  const steps =
    kind === 'step' || kind === 'jump'
      ? `${promised.filter(a => a.isFound).length} of ${promised.length}`
      : '–'
  const falseSteps = told.reduce((sum, a) => sum + a.falseSteps, 0)
  const sway = told.reduce((sum, a) => sum + a.swaySamples, 0) / Math.max(1, told.length)
  return `| ${kind}, ${seconds} s | ${takes.length} | ${sure.length} | ${worstMs.toFixed(3)} | ${drift} | ${steps} | ${falseSteps} | ${sway.toFixed(2)} |`
}

/** Tables: drift, steps and sway of generated takes through loudspeaker, room and microphone; then wide searches. */
export const run = async (): Promise<string> => {
  const started = performance.now()
  const over = (): boolean => performance.now() - started > 1000 * BUDGET_SECONDS
  const digest = digestOf(['src/measure', 'src/signal', 'test/corpus', 'bench/over-time'])
  const { lines, keep } = keptLines<DoneTake>('over-time', digest)
  const done = new Map(lines.map(line => [keyOf(line), line]))
  await inProcesses<MovingQuestion, MovingAnswer>({
    module: new URL('over-time/moving-child.ts', import.meta.url).href,
    inputs: BATCHES.flatMap(questionsOf).filter(q => !done.has(keyOf(q))),
    over,
    took: (question, answer) => {
      const line = { ...question, answer }
      done.set(keyOf(question), line)
      keep(line)
    },
  })
  const rows = BATCHES.flatMap(batch => {
    const takes = questionsOf(batch).flatMap(q => done.get(keyOf(q)) ?? [])
    return takes.length === 0 ? [] : [row(batch, takes)]
  })
  return [
    '| kind | cases | sure | lag at first sound, worst error ms | drift told | drift error ppm, 95 % | drift right | promised steps found | false steps | sway told, rms frames, mean |',
    '|---|---|---|---|---|---|---|---|---|---|',
    ...rows,
    '',
    await searchTables(SEED, Math.max(1, Math.round(3 * SHARE)), over),
  ].join('\n')
}
