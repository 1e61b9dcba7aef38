import type { Report } from '../report.js'
import { fixed } from '../words/figures.js'
import { html, type Markup, named } from './markup.js'

/** "2025-11-25 14:02 UTC" of an ISO time; any other text as it is. */
const shownTime = (at: string): string =>
  at.replace(/^(\d{4}-\d{2}-\d{2})T(\d{2}:\d{2})[:\d.]*Z$/, '$1 $2 UTC')

/** Song and take; from which recipe, when, by what. */
export const masthead = (report: Report): Markup => html`<header class="masthead">
<h1>${named(report.song)}${report.take !== null && html` <span class="take">take ${named(report.take)}</span>`}</h1>
<p class="from">${named(report.recipe.file)}${report.made.at !== null && html` · ${shownTime(report.made.at)}`} · ${fixed(report.temperatureCelsius, 0)} °C${
  report.tempoBpm !== null && html` · ${report.tempoBpm} BPM`
} · ${report.tool.name} ${report.tool.version}</p>
</header>`
