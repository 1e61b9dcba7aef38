import type { Warning } from '../../terms/warning.js'
import { rankOf } from '../build/warnings.js'
import type { Report } from '../report.js'
import { counted } from '../words/figures.js'
import { html, type Markup, named } from './markup.js'

/** So many are shown at once; the rest folds away. */
const SHOWN = 5

/** A message with what stands between backticks set as what one types. */
const withCode = (message: string): readonly Markup[] =>
  message.split('`').map((text, i) => (i % 2 === 1 ? html`<code>${text}</code>` : html`${text}`))

const item = (warning: Warning): Markup => {
  const where = [warning.group, warning.source].filter(name => name !== null)
  return html`<li class="${rankOf(warning) === 0 ? 'first' : 'later'}">${
    where.length > 0 && html`<b>${where.map((name, i) => html`${i > 0 && ' / '}${named(name)}`)}</b> `
  }${withCode(warning.message)}</li>`
}

/** Everything that needs a person's eye before the stems are used, most pressing first. */
export const eyeFirst = (report: Report): Markup => {
  const { warnings } = report
  const rest = warnings.slice(SHOWN)
  return html`<section class="eye" aria-labelledby="eye-first"><h2 id="eye-first">Look here first</h2>
${
  warnings.length === 0
    ? html`<p>Nothing stands out. Listen all the same before you send it on.</p>`
    : html`<ul>${warnings.slice(0, SHOWN).map(item)}</ul>`
}${
  rest.length > 0 &&
  html`<details class="more"><summary>${counted(rest.length, 'more note')}</summary><ul>${rest.map(item)}</ul></details>`
}</section>`
}
