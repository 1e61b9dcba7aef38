import { inkOf } from '../report/terminal/ink.js'
import { fixed, orDash, signed } from '../report/words/figures.js'
import { visibleText } from '../terms/visible-text.js'
import type { Verified } from '../verify/verified.js'
import { tableLines } from './table.js'
import type { Page } from './tell.js'

const BLEND_COLUMNS = [
  { title: 'blend', align: 'left', dropOrder: 0 },
  { title: 'what is left', align: 'left', dropOrder: 0 },
] as const

const LAG_COLUMNS = [
  { title: 'stem', align: 'left', dropOrder: 0 },
  { title: 'late now', align: 'right', dropOrder: 0 },
  { title: 'meant', align: 'right', dropOrder: 0 },
  { title: 'polarity', align: 'left', dropOrder: 0 },
  { title: 'verdict', align: 'left', dropOrder: 0 },
] as const

/** What was held against what, for people; the differences themselves are told as faults. Ends with a line end. */
export const verifiedText = (verified: Verified, { width, colour }: Page): string => {
  const { song, take, folder, stems, blends, lags, others, differences } = verified
  const ink = inkOf(colour)
  const title = `${song}${take === null ? '' : `, take ${take}`}: ${folder}`
  const whole =
    differences.length === 0
      ? `${stems.length} stems: bytes, lengths, rates, words and time stamps are as delivered`
      : `${differences.length} ${differences.length === 1 ? 'thing differs' : 'things differ'}`
  const blendRows = blends.map(({ name, leftDbfs, allowedDbfs, notCompared }) => [
    `  ${visibleText(name)}`,
    notCompared !== null
      ? `not compared: ${visibleText(notCompared)}`
      : `${leftDbfs === null ? 'nothing' : `${fixed(leftDbfs, 1)} dBFS`} beside its single stems; rounding may leave ${orDash(allowedDbfs, db => fixed(db, 1))}`,
  ])
  const lagRows = (lags ?? []).map(lag => [
    `  ${visibleText(`${lag.group}/${lag.source}`)}`,
    orDash(
      lag.lagSamples,
      frames => `${signed(frames, 3)} ± ${orDash(lag.uncertaintySamples, u => fixed(u, 3))} frames`,
    ),
    orDash(lag.meantSamples, frames => signed(frames, 3)),
    lag.polarity ?? '–',
    lag.verdict,
  ])
  return `${[
    ink.strong(visibleText(title)),
    `  ${whole}`,
    ...tableLines(BLEND_COLUMNS, blendRows, width).slice(1),
    ...(lagRows.length === 0 ? [] : tableLines(LAG_COLUMNS, lagRows, width)),
    ...others.map(name => `  ${visibleText(name)}: not of this delivery`),
  ].join('\n')}\n`
}
