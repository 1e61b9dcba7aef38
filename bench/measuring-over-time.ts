import {
  MOVING_KINDS,
  type MovingCase,
  type MovingResult,
  measureMoving,
  movingCase,
} from '../test/corpus/moving-cases.js'

const CASES = Number(process.env['CASES'] ?? 40)
const SECONDS = Number(process.env['SECONDS'] ?? 60)

/** Played time allowed between a step and where it is told. */
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

/** Table: drift, steps and sway of generated takes through a loudspeaker and a room. */
export const run = async (): Promise<string> => {
  const rows = [
    `| kind (${SECONDS} s) | cases | sure | lag at first sound, error ms, worst | drift told | drift error ppm: 95 % | steps found | false steps | sway told, rms frames, mean |`,
    '|---|---|---|---|---|---|---|---|---|',
  ]
  for (const kind of MOVING_KINDS) {
    let sure = 0
    let told = 0
    let found = 0
    let wrong = 0
    let sway = 0
    let worst = 0
    const drifts: number[] = []
    for (let i = 0; i < CASES; i++) {
      const c = movingCase(kind, `final ${i}`, SECONDS)
      const result = await measureMoving(c)
      if (result === null) continue
      if (result.verdict === 'sure') sure++
      const steps = countSteps(c, result)
      if (steps.found) found++
      wrong += steps.wrong
      sway += (result.swaySamples ?? 0) / CASES
      if (result.drift !== null) told++
      drifts.push(Math.abs((result.drift?.ppm ?? 0) - c.ppm))
      const first = result.lagOverTime?.[0]
      if (first !== undefined && result.verdict === 'sure') {
        worst = Math.max(worst, Math.abs(first.lagSamples - c.lagAt(first.atSeconds)) / 48)
      }
    }
    drifts.sort((a, b) => a - b)
    rows.push(
      `| ${kind} | ${CASES} | ${sure} | ${worst.toFixed(3)} | ${told} | ${kind === 'step' || kind === 'jump' ? '–' : (drifts[Math.floor(0.95 * (drifts.length - 1))] ?? Number.NaN).toFixed(3)} | ${kind === 'step' || kind === 'jump' ? found : '–'} | ${wrong} | ${sway.toFixed(2)} |`,
    )
    process.stderr.write(`${rows[rows.length - 1]}\n`)
  }
  return rows.join('\n')
}
