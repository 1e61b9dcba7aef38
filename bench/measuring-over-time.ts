import {
  MOVING_RATE_HZ,
  type MovingCase,
  type MovingKind,
  type MovingResult,
  measureMoving,
  movingCase,
} from '../test/corpus/moving-cases.js'
import { searchTable } from './over-time/search-table.js'

/** `figures` for the figures in docs/measuring.md; anything else while the rules are made, so that they are not made to fit. */
const SEED = process.env['SEED'] ?? 'figures'
/** Share of the cases below, and which of them (`drift-300,sway-40,search`): to make it shorter, or to work on several at once. */
const SHARE = Number(process.env['SHARE'] ?? 1)
const KINDS = process.env['KINDS']?.split(',') ?? null

const wanted = (name: string): boolean => KINDS === null || KINDS.includes(name)

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

/** Time allowed between a step and where it is told. */
export const STEP_SECONDS = 1.5

/** A step of the right size at the right place; all others are false. */
export const countSteps = (c: MovingCase, told: MovingResult): { found: boolean; wrong: number } => {
  const { step } = c
  const steps = told.steps ?? []
  if (step === null) return { found: false, wrong: steps.length }
  const right = steps.filter(
    s =>
      Math.abs(s.atSeconds - step.atSeconds) <= STEP_SECONDS &&
      Math.abs(s.toLagSamples - s.fromLagSamples - step.bySamples) <
        Math.max(2, 0.1 * Math.abs(step.bySamples)),
  )
  return { found: right.length > 0, wrong: steps.length - right.length }
}

const LEAST_STEP_FRAMES = 3
const STEP_ERRORS = 6

/** A step as large as the measuring promises to find: 3 frames and six times what a block is really off by (robust). */
export const isPromised = (c: MovingCase, told: MovingResult): boolean => {
  if (c.step === null) return false
  const off = (told.lagOverTime ?? []).map(b => b.lagSamples - c.lagAt(b.atSeconds)).sort((a, b) => a - b)
  const middle = off[off.length >> 1] ?? 0
  const apart = off.map(o => Math.abs(o - middle)).sort((a, b) => a - b)
  const scatter = 1.4826 * (apart[apart.length >> 1] ?? 0)
  return Math.abs(c.step.bySamples) >= Math.max(LEAST_STEP_FRAMES, STEP_ERRORS * scatter)
}

interface Counts {
  measured: number
  sure: number
  worstLagMs: number
  driftTold: number
  driftOff: number[]
  promised: number
  found: number
  falseSteps: number
  sway: number
}

const count = async (batch: Batch, cases: number): Promise<Counts> => {
  const c: Counts = {
    ...{ measured: 0, sure: 0, worstLagMs: 0, driftTold: 0, driftOff: [] },
    ...{ promised: 0, found: 0, falseSteps: 0, sway: 0 },
  }
  for (let i = 0; i < cases; i++) {
    const made = movingCase(batch.kind, `${SEED} ${batch.seconds} ${i}`, batch.seconds)
    const told = await measureMoving(made)
    if (told === null) continue
    c.measured++
    if (told.verdict === 'sure') c.sure++
    const first = told.lagOverTime?.[0]
    if (first !== undefined && told.verdict === 'sure') {
      const off = (1000 * Math.abs(first.lagSamples - made.lagAt(first.atSeconds))) / MOVING_RATE_HZ
      c.worstLagMs = Math.max(c.worstLagMs, off)
    }
    if (told.drift !== null) c.driftTold++
    c.driftOff.push(Math.abs((told.drift?.ppm ?? 0) - made.ppm))
    const steps = countSteps(made, told)
    if (isPromised(made, told)) {
      c.promised++
      if (steps.found) c.found++
    }
    if (steps.wrong > 0 || (batch.driftPpm !== null && (c.driftOff.at(-1) ?? 0) > batch.driftPpm)) {
      process.stderr.write(
        `${batch.kind} ${SEED} ${batch.seconds} ${i}: ${JSON.stringify(made.step)} ${made.ppm} → ${JSON.stringify({ ...told, lagOverTime: told.lagOverTime?.length })}\n`,
      )
    }
    c.falseSteps += steps.wrong
    c.sway += told.swaySamples ?? 0
  }
  return c
}

const row = ({ kind, seconds, driftPpm }: Batch, cases: number, c: Counts): string => {
  const off = [...c.driftOff].sort((a, b) => a - b)
  const at95 = off[Math.ceil(0.95 * off.length) - 1] ?? Number.NaN
  const drift =
    driftPpm === null
      ? `${c.driftTold} | – | –`
      : `${c.driftTold} | ${at95.toFixed(3)} | ${off.filter(o => o <= driftPpm).length} within ${driftPpm}`
  const steps = kind === 'step' || kind === 'jump' ? `${c.found} of ${c.promised}` : '–'
  return `| ${kind}, ${seconds} s | ${cases} | ${c.sure} | ${c.worstLagMs.toFixed(3)} | ${drift} | ${steps} | ${c.falseSteps} | ${(c.sway / Math.max(1, c.measured)).toFixed(2)} |`
}

/** Tables: drift, steps and sway of generated takes through loudspeaker, room and microphone; then wide searches. */
export const run = async (): Promise<string> => {
  const rows = [
    '| kind | cases | sure | lag at first sound, worst error ms | drift told | drift error ppm, 95 % | drift right | promised steps found | false steps | sway told, rms frames, mean |',
    '|---|---|---|---|---|---|---|---|---|---|',
  ]
  for (const batch of BATCHES) {
    if (!wanted(`${batch.kind}-${batch.seconds}`)) continue
    const cases = Math.max(1, Math.round(SHARE * batch.cases))
    rows.push(row(batch, cases, await count(batch, cases)))
    process.stderr.write(`${rows[rows.length - 1]}\n`)
  }
  if (wanted('search')) rows.push('', await searchTable(SEED, Math.max(1, Math.round(3 * SHARE))))
  return rows.join('\n')
}
