import type { Report } from '../report.js'
import { fixed, NO_VALUE, orDash, signed } from '../words/figures.js'
import { html, type Markup, named } from './markup.js'
import { table } from './table.js'

/** The lags that are left, measured again on the stems; nothing where that was not asked for. */
export const residualSection = ({ residualLags }: Report): Markup | null =>
  residualLags === null || residualLags.length === 0
    ? null
    : html`<section class="residual" aria-labelledby="residual"><h3 id="residual">Measured again on the stems</h3>
<p>The delivered stems were measured as if they were recordings: how late each is now against its group's reference.</p>
${table(
  'Lags left in the stems',
  [
    { head: 'stem' },
    { head: 'late now, frames', numeric: true },
    { head: 'meant', numeric: true },
    { head: 'polarity' },
    { head: 'verdict' },
  ],
  residualLags.map(({ group, source, lagSamples, uncertaintySamples, meantSamples, polarity, verdict }) => [
    named(`${group}/${source}`),
    orDash(lagSamples, lag => `${signed(lag, 3)} ± ${orDash(uncertaintySamples, u => fixed(u, 3))}`),
    orDash(meantSamples, lag => signed(lag, 3)),
    polarity ?? NO_VALUE,
    verdict,
  ]),
)}</section>`
