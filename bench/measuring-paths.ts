import { type DoneCase, judgedCases } from './measuring/judged-cases.js'

/*
 * CASES real recordings through modelled paths (200), as many still ones and half as many of the low end alone and of sampled instruments (these need
 * Debian's packages `fluidsynth` and `fluid-soundfont-gm`); a quarter of recordings and low end with source and reference exchanged; SEED names the
 * set: `figures` for the figures, any other to tune by; BUDGET_SECONDS stops early. Fullness is held against a grid in every case of the first set.
 */
const CASES = Number(process.env['CASES'] ?? 200)
const SEED = process.env['SEED'] ?? 'figures'

const quantile = (sorted: readonly number[], share: number): number =>
  sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? Number.NaN

const rowOf = (name: string, cases: readonly DoneCase[], isStill: boolean, back: boolean): string => {
  const all = cases.map(c => c.answer)
  const sure = all.filter(a => a.verdict === 'sure')
  const knowable = all.filter(a => a.knowable)
  const errors = sure.map(a => a.errorMs!).sort((a, b) => a - b)
  const stated = sure.map(a => a.ofStated!)
  const deviation = Math.sqrt(stated.reduce((s, z) => s + z * z, 0) / stated.length)
  const beyond = stated.filter(z => Math.abs(z) > 3.3).length / stated.length
  const misses = all.flatMap(a => a.fullnessMissDb ?? [])
  return `| ${[
    name,
    all.length,
    sure.length,
    sure.filter(a => a.polarityRight === true).length,
    all.filter(a => a.wronglySure).length,
    `${knowable.filter(a => a.verdict === 'sure').length} of ${knowable.length}`,
    [0.01, 0.5, 0.99].map(q => quantile(errors, q).toFixed(3)).join(' · '),
    errors.filter(e => (back ? e > 0.1 || e < -0.2 : e < -0.1 || e > 0.2)).length,
    isStill ? deviation.toFixed(2) : '–',
    isStill ? `${(100 * beyond).toFixed(1)} %` : '–',
    misses.length === 0 ? '–' : Math.max(...misses).toFixed(3),
  ].join(' | ')} |`
}

/** Table: real recordings through modelled paths: verdict, polarity, arrival against the true air path, stated error of still ones, fullness. */
export const run = async (): Promise<string> => {
  const rows = [
    '| set | cases | sure | polarity right of those | wrongly sure | sure where it can be known | arrival − air, ms: 1 % · median · 99 % | outside −0.1 … +0.2 ms | error / stated | beyond 3.3 | fullness misses the grid by at most, dB |',
    '|---|---|---|---|---|---|---|---|---|---|---|',
  ]
  for (const [name, kind, cases, back] of [
    ['real paths', 'real', CASES, false],
    ['real paths, source and reference exchanged', 'real', CASES / 4, true],
    ['sampled instruments', 'sampled', CASES / 2, false],
    ['low end only', 'low', CASES / 2, false],
    ['low end only, exchanged', 'low', CASES / 4, true],
    ['still, no dispersion', 'still', CASES, false],
  ] as const) {
    const questions = Array.from({ length: cases }, (_, i) => ({
      kind,
      seed: `${SEED} ${i}`,
      grid: kind === 'real' && !back,
      back,
    }))
    const done = await judgedCases(back ? `${kind}-back` : kind, questions)
    if (done.length === 0) continue
    rows.push(rowOf(name, done, kind === 'still', back))
    process.stderr.write(`${rows[rows.length - 1]}\n`)
  }
  return rows.join('\n')
}
