import { judgeCase } from '../../test/corpus/judge-case.js'
import { movingCase, MOVING_RATE_HZ as RATE } from '../../test/corpus/moving-cases.js'
import { delayed } from '../../test/corpus/spectrum.js'

const SECONDS = 30
const NARROW_SECONDS = 0.04
const SEARCHES = [NARROW_SECONDS, 0.5, 1, 2, 4] as const
/** Level of a second copy 0.3 s after the first, dB. */
const ECHOES = [3, 0, -1, -3, -6, -12] as const
const ECHO_FRAMES = 0.3 * RATE
const ECHO_SEARCH = 2
const AIR = 100

const judged = async (reference: Float64Array, source: Float64Array, searchSeconds: number, lag: number) => {
  const before = process.cpuUsage()
  const told = await judgeCase({
    ...{ name: 'search', kind: 'search', sampleRateHz: RATE, reference, source, searchSeconds },
    ...{ truth: { lagSamples: lag, polarity: 'normal' as const }, knowable: true },
  })
  const { user, system } = process.cpuUsage(before)
  return { ...told, seconds: (user + system) / 1e6 }
}

/**
 * Two tables: what a wide search costs and whether the lag stays as exact as with a narrow one, for a lag at nine tenths of it; and
 * what is said where the sound comes twice. Every case is the same take, later; none is a drum pattern, which comes round again within a
 * wide search and then is rightly `unsure`.
 */
export const searchTable = async (seed: string, cases: number): Promise<string> => {
  const takes = Array.from({ length: cases }, (_, i) =>
    movingCase('register', `${seed} search ${i}`, SECONDS),
  )
  const rows = [
    `| search ± s (${SECONDS} s) | cases | sure | lag against that of the narrow search, frames, worst | processor s per case | times n log n of the search before |`,
    '|---|---|---|---|---|---|',
  ]
  const narrow: number[] = []
  let before: { readonly seconds: number; readonly growth: number } | null = null
  for (const search of SEARCHES) {
    let sure = 0
    let worst = 0
    let seconds = 0
    for (const [i, take] of takes.entries()) {
      const lag = Math.round(0.9 * search * RATE) + 0.4
      const told = await judged(take.reference, delayed(take.source, lag - AIR), search, lag)
      if (told.sure) sure++
      seconds += told.seconds / cases
      narrow[i] ??= told.errorSamples ?? Number.NaN
      worst = Math.max(worst, Math.abs((told.errorSamples ?? Number.NaN) - narrow[i]))
    }
    const n = search * RATE
    const growth = n * Math.log(n)
    const times = before === null ? '–' : (seconds / before.seconds / (growth / before.growth)).toFixed(2)
    rows.push(`| ${search} | ${cases} | ${sure} | ${worst.toFixed(4)} | ${seconds.toFixed(2)} | ${times} |`)
    before = { seconds, growth }
  }
  rows.push(
    '',
    `| second copy 0.3 s later, dB (search ± ${ECHO_SEARCH} s) | cases | sure | unsure | wrongly sure |`,
    '|---|---|---|---|---|',
  )
  for (const levelDb of ECHOES) {
    const counts = { sure: 0, unsure: 0, wrong: 0 }
    for (const take of takes) {
      const lag = 60000.4
      const first = delayed(take.source, lag - AIR)
      const second = delayed(first, ECHO_FRAMES)
      const source = first.map((v, n) => v + 10 ** (levelDb / 20) * second[n]!)
      const told = await judged(take.reference, source, ECHO_SEARCH, lag)
      if (told.sure) counts.sure++
      if (told.judged.lagVerdict === 'unsure') counts.unsure++
      if (told.wronglySure) counts.wrong++
    }
    rows.push(`| ${levelDb} | ${cases} | ${counts.sure} | ${counts.unsure} | ${counts.wrong} |`)
  }
  return rows.join('\n')
}
