import type { Report } from '../report.js'
import { NO_VALUE } from '../words/figures.js'
import { html, type Markup, named } from './markup.js'
import { table } from './table.js'

/** Every file that was read or written, with the checksum that proves it is the same one. */
export const filesSection = (
  report: Report,
): Markup => html`<section class="files" aria-labelledby="files"><h3 id="files">Files and checksums</h3>
${table(
  'Files and their SHA-256',
  [{ head: 'file' }, { head: 'is' }, { head: 'SHA-256' }],
  [
    [named(report.recipe.file), 'recipe', html`<code>${report.recipe.sha256 ?? NO_VALUE}</code>`],
    ...report.files.map(file => [named(file.file), file.role, html`<code>${file.sha256 ?? NO_VALUE}</code>`]),
  ],
  'checksums',
)}</section>`
