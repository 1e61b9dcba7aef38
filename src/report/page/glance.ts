import type { Report, ReportGroup } from '../report.js'
import { toneWords } from '../words/blend-words.js'
import { groupClauses } from '../words/source-words.js'
import { sureWords } from '../words/sureness.js'
import { unbroken } from '../words/unbroken.js'
import { airFigure } from './air-figure.js'
import { html, type Markup, named } from './markup.js'
import { verdictMark } from './verdict-mark.js'

const sentence = (clauses: readonly string[]): string =>
  clauses.length === 0 ? 'Nothing to line up.' : `${clauses.join('; ')}.`

const card = (
  report: Report,
  group: ReportGroup,
  index: number,
): Markup => html`<article class="glance" aria-labelledby="glance-${index}">
<div class="said"><h2 id="glance-${index}"><a href="#group-${index}">${named(group.name)}</a> ${verdictMark(group.verdict, sureWords(group))}</h2>
<p class="done">${unbroken(sentence(groupClauses(group)))}</p>
<dl class="tone">${group.blends
  .filter(blend => blend.aligned)
  .map(
    blend => html`<div><dt>${named(blend.name)}</dt><dd>${unbroken(toneWords(blend))}</dd></div>`,
  )}</dl></div>
${airFigure(report, group, index)}
</article>`

/** Per group: what was wrong and what was done, how sure, what it did to the tone. */
export const glance = (report: Report): Markup =>
  html`<div class="glances">${report.groups.map((group, index) => card(report, group, index))}</div>`
