import { HARD_KINDS, hardCase } from '../test/corpus/hard-cases.js'
import { judgeCase } from '../test/corpus/judge-case.js'

const CASES = Number(process.env['CASES'] ?? 150)
const SEED = process.env['SEED'] ?? 'final'

/** Table: generated hard cases, kind by kind: how many are called sure, and how many of those wrongly. */
export const run = async (): Promise<string> => {
  const rows = ['| kind | cases | sure | unsure | unknown | wrongly sure |', '|---|---|---|---|---|---|']
  let wrong = 0
  let all = 0
  for (const kind of HARD_KINDS) {
    const counts = { sure: 0, unsure: 0, unknown: 0, wrong: 0 }
    for (let i = 0; i < CASES; i++) {
      const c = hardCase(kind, `${SEED} ${i}`)
      const { judged, sure, wronglySure } = await judgeCase(c)
      if (sure) counts.sure++
      else if (judged.lagVerdict === 'unknown') counts.unknown++
      else counts.unsure++
      if (wronglySure) {
        counts.wrong++
        process.stderr.write(`wrong: ${c.name}\n`)
      }
    }
    wrong += counts.wrong
    all += CASES
    rows.push(
      `| ${kind} | ${CASES} | ${counts.sure} | ${counts.unsure} | ${counts.unknown} | ${counts.wrong} |`,
    )
    process.stderr.write(`${rows[rows.length - 1]}\n`)
  }
  rows.push(`| **all** | ${all} | | | | **${wrong}** |`)
  return rows.join('\n')
}
