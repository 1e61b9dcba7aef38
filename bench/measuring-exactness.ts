import { digestOf, keptLines } from './measuring/kept.js'
import type { NoiseLot } from './measuring/noise-child.js'
import { exactnessOf, type NoiseKind, type NoiseTrial } from './measuring/noise-trials.js'
import { writeRows } from './measuring/page.js'
import { inProcesses } from './measuring/processes.js'

/*
 * White and coloured noise with independent noise in both channels against the Cramér–Rao bound. TRIALS of each kind (4,000; a quarter of
 * it for coloured ones of 10 s); KINDS names some alone ("white 1 20, band 10 0"); BUDGET_SECONDS stops early. Trials are kept in .cache and
 * added to by the next run, as long as measuring and generator are the same.
 */

const TRIALS = Number(process.env['TRIALS'] ?? 4000)
const BUDGET_SECONDS = Number(process.env['BUDGET_SECONDS'] ?? Number.POSITIVE_INFINITY)
const KINDS = process.env['KINDS']?.split(',').map(kind => kind.trim())
const LOT = 10

const nameOf = ({ shape, seconds, snrDb }: NoiseKind): string => `${shape} ${seconds} ${snrDb}`

const kinds = (['white', 'falling', 'band'] as const)
  .flatMap(shape =>
    [1, 10].flatMap(seconds => [20, 10, 0].map((snrDb): NoiseKind => ({ shape, seconds, snrDb }))),
  )
  .filter(kind => KINDS === undefined || KINDS.includes(nameOf(kind)))

const wishedTrials = ({ shape, seconds }: NoiseKind): number =>
  shape === 'white' || seconds === 1 ? TRIALS : Math.ceil(TRIALS / 4)

interface DoneLot extends NoiseLot {
  readonly trials: readonly NoiseTrial[]
}

const rowOf = (kind: NoiseKind, lots: readonly DoneLot[]): string[] => {
  // In the order of their numbers, so that the sums do not depend on which process was quicker.
  const e = exactnessOf([...lots].sort((a, b) => a.from - b.from).flatMap(lot => lot.trials))
  const standardError = e.ratio / Math.sqrt(2 * e.trials)
  return [
    kind.shape,
    String(kind.snrDb),
    String(kind.seconds),
    String(e.trials),
    `${e.ratio.toFixed(3)} ± ${standardError.toFixed(3)}`,
    e.bias.toFixed(3),
    e.stated.toFixed(2),
    `${(100 * e.beyond).toFixed(2)} %`,
    String(e.outliers),
  ]
}

/** Table: rms error against the Cramér–Rao bound. Every kind's row is written into docs/measuring.md once its trials are done. */
export const run = async (): Promise<string> => {
  const digest = digestOf([
    'src/measure',
    'src/signal',
    'test/corpus/noise-pair.ts',
    'bench/measuring/noise-trials.ts',
  ])
  const started = performance.now()
  const over = (): boolean => performance.now() - started > 1000 * BUDGET_SECONDS
  const rows: string[][] = []
  for (const kind of kinds) {
    const { lines, keep } = keptLines<DoneLot>(`noise-${nameOf(kind).replaceAll(' ', '-')}`, digest)
    const have = new Set(lines.map(lot => lot.from))
    const inputs: NoiseLot[] = []
    for (let from = 0; from < wishedTrials(kind); from += LOT)
      if (!have.has(from)) inputs.push({ kind, from, to: from + LOT })
    await inProcesses<NoiseLot, readonly NoiseTrial[]>({
      module: new URL('measuring/noise-child.ts', import.meta.url).href,
      inputs,
      over,
      took: (lot, trials) => {
        const done = { ...lot, trials }
        lines.push(done)
        keep(done)
      },
    })
    if (lines.length === 0) continue
    const row = rowOf(kind, lines)
    rows.push(row)
    process.stderr.write(`${row.join(' | ')}\n`)
    writeRows('exactness', 3, [row])
  }
  return rows.map(row => `| ${row.join(' | ')} |`).join('\n')
}
