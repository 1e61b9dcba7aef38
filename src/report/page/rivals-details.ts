import type { ReportGroup } from '../report.js'
import { fixed, signed } from '../words/figures.js'
import { html, type Markup, named } from './markup.js'
import { table } from './table.js'

/** The positions that were considered for each source of a group, best first within each aim; null where there are none. */
export const rivalsDetails = (group: ReportGroup): Markup | null => {
  const rows = group.sources.flatMap(source =>
    source.measured.candidates.map(({ aim, lagSamples, polarity, score }) => [
      named(source.name),
      aim,
      signed((lagSamples * 1000) / group.sampleRateHz, 3),
      signed(lagSamples, 2),
      polarity,
      fixed(score, 2),
    ]),
  )
  if (rows.length === 0) return null
  return html`<details class="behind rivals"><summary>Other positions that were considered</summary>${table(
    `Positions considered in ${group.name}`,
    [
      { head: 'source' },
      { head: 'aim' },
      { head: 'lag, ms', numeric: true },
      { head: 'frames', numeric: true },
      { head: 'polarity' },
      { head: 'score, 1 is perfect', numeric: true },
    ],
    rows,
    'dense',
  )}</details>`
}
