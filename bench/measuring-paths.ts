import { judgeCase } from '../test/corpus/judge-case.js'
import { realCase } from '../test/corpus/real-cases.js'

const CASES = Number(process.env['CASES'] ?? 200)
const SEED = process.env['SEED'] ?? 'final'

const quantile = (sorted: readonly number[], share: number): number =>
  sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? Number.NaN

/** Table: real recordings through modelled paths: polarity, arrival against the true air path, stated error of still ones. */
export const run = async (): Promise<string> => {
  const rows = [
    '| set | cases | sure | polarity right of those | arrival − air, ms: 1 % · median · 99 % | outside −0.1 … +0.2 ms | error / stated | beyond 3.3 |',
    '|---|---|---|---|---|---|---|---|',
  ]
  for (const [name, options, cases] of [
    ['real paths', {}, CASES],
    ['low end only', { lowOnly: true }, CASES / 2],
    ['still, no dispersion', { still: true }, CASES],
  ] as const) {
    const errors: number[] = []
    const stated: number[] = []
    let right = 0
    for (let i = 0; i < cases; i++) {
      const c = realCase(`${SEED} ${i}`, options)
      const { judged, sure, errorSamples, polarityRight } = await judgeCase(c)
      if (!sure || errorSamples === null) continue
      errors.push((1000 * errorSamples) / c.sampleRateHz)
      stated.push(errorSamples / judged.uncertaintySamples!)
      if (polarityRight === true) right++
      if (polarityRight !== true || Math.abs(errors[errors.length - 1]!) > 0.2)
        process.stderr.write(`${c.name}\n`)
    }
    errors.sort((a, b) => a - b)
    const outside = errors.filter(e => e < -0.1 || e > 0.2).length
    const deviation = Math.sqrt(stated.reduce((s, z) => s + z * z, 0) / stated.length)
    const beyond = stated.filter(z => Math.abs(z) > 3.3).length / stated.length
    const still = name.startsWith('still')
    rows.push(
      `| ${name} | ${cases} | ${errors.length} | ${right} | ${[0.01, 0.5, 0.99].map(q => quantile(errors, q).toFixed(3)).join(' · ')} | ${outside} | ${still ? deviation.toFixed(2) : '–'} | ${still ? `${(100 * beyond).toFixed(1)} %` : '–'} |`,
    )
    process.stderr.write(`${rows[rows.length - 1]}\n`)
  }
  return rows.join('\n')
}
