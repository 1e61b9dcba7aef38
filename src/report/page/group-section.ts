import type { ReportGroup } from '../report.js'
import { fixed, orDash } from '../words/figures.js'
import { blendSection } from './blend-section.js'
import { closeUpFigure } from './close-up-figure.js'
import { deskSection, heldPassage } from './desk-section.js'
import { lagTimeFigures } from './lag-time-figure.js'
import { html, type Markup, named } from './markup.js'
import { pathsSection } from './paths-section.js'
import { pieceTable } from './piece-table.js'
import { rivalsDetails } from './rivals-details.js'
import { sourceTable } from './source-table.js'

const settings = (group: ReportGroup): Markup => {
  const { aim, hold, resolution, follow, searchSeconds } = group.align
  const held = hold === 'reference' ? 'the reference stays in place' : 'all wait for the latest'
  const moves = resolution === 'fraction' ? 'moved by fractions of a frame' : 'moved by whole frames'
  return html`<p class="settings">Against ${named(group.reference)} at ${group.sampleRateHz} Hz; aim ${aim}; searched ±${fixed(searchSeconds * 1000, 0)} ms; ${held}; ${moves}${
    follow !== 'nothing' && html`; follows ${follow}`
  }${
    group.closureSamples !== null &&
    html`; all pairs agree within ${orDash(group.closureSamples, n => fixed(n, 2))} frames`
  }.</p>`
}

/** Nothing moved during the take: of no use on paper. */
const isSteady = (group: ReportGroup): boolean =>
  group.sources.every(({ measured }) => measured.drift === null && (measured.steps ?? []).length === 0)

/** All that is known about one group: its sources, an attack before and after, each blend's tone. */
export const groupSection = (group: ReportGroup, index: number): Markup => {
  const compared = group.blends.filter(blend => blend.aligned)
  const lags = lagTimeFigures(group, index)
  return html`<section class="group" id="group-${index}" aria-labelledby="group-name-${index}">
<h3 id="group-name-${index}">${named(group.name)}</h3>
${settings(group)}
${sourceTable(group)}
${pieceTable(group)}
${rivalsDetails(group)}
${group.closeUp !== null && closeUpFigure(group, group.closeUp, index)}
<div class="blends${compared.length === 1 && ' alone'}">${compared.map((blend, b) => blendSection({ group, index }, blend, `${index}-${b}`))}</div>
${heldPassage(group)}${compared.map(blend => deskSection(group, blend, index))}
${group.desk !== null && pathsSection(group, group.desk, index)}
${lags.length > 0 && html`<div class="blends through${isSteady(group) && ' steady'}">${lags}</div>`}
</section>`
}
