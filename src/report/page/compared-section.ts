import { comparedTitle, sayings } from '../compared/words.js'
import type { Report } from '../report.js'
import { unbroken } from '../words/unbroken.js'
import { html, type Markup, named } from './markup.js'

/** What changed since the take before; nothing where none is known. */
export const comparedSection = ({ compared }: Report): Markup | null =>
  compared &&
  html`<section class="compared" aria-labelledby="compared"><h2 id="compared">${comparedTitle(compared)}</h2>
${sayings(compared).map(
  ({ group, about }) => html`<h3>${named(group)}</h3>
<ul>${about.map(words => html`<li>${unbroken(words)}</li>`)}</ul>`,
)}</section>`
