import { PAGE_SCRIPT } from './generated/page-script.js'
import { heldIn } from './listen/kept-sounds.js'
import type { SoundBytes } from './listen/listen.js'
import { comparedSection } from './page/compared-section.js'
import { embeddedJsonParts } from './page/embedded-json.js'
import { embeddedSound } from './page/embedded-sound.js'
import { eyeFirst } from './page/eye-first.js'
import { filesSection } from './page/files-section.js'
import { glance } from './page/glance.js'
import { groupSection } from './page/group-section.js'
import { healthSection } from './page/health-section.js'
import { html, type Markup, trusted } from './page/markup.js'
import { masthead } from './page/masthead.js'
import { neighboursSection } from './page/neighbours-section.js'
import { policyFor } from './page/policy.js'
import { readingSection } from './page/reading-section.js'
import { residualSection } from './page/residual-section.js'
import { stemsSection } from './page/stems-section.js'
import { STYLE_SHEET } from './page/style/style-sheet.js'
import type { Report } from './report.js'
import { inLargerParts } from './text-parts.js'

/**
 * `report.html`: one page that needs nothing but itself, drawn from the report alone, which it carries with it
 * (`<script type="application/json" id="report">`). The same report gives the same page. `sounds`: the recordings of its passages, which no
 * report holds; without them the page is silent and all else works.
 */
export const pageOf = (report: Report, sounds: SoundBytes = new Map()): string =>
  [...pageParts(report, sounds)].join('')

/** The same piece by piece: a page with sound is large, and nobody needs all of it in memory at once. */
export function* pageParts(report: Report, sounds: SoundBytes): Generator<string> {
  yield* inLargerParts(beforeJson(report).parts())
  yield* embeddedJsonParts(report)
  yield AFTER_JSON
  for (const { id } of heldIn(report)) {
    const bytes = sounds.get(id)
    if (bytes !== undefined) yield* embeddedSound([id, bytes])
  }
  yield AFTER_SOUNDS
}

const beforeJson = (report: Report): Markup =>
  html`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policyFor([STYLE_SHEET], [PAGE_SCRIPT])}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<title>${report.song}${report.take !== null && `, take ${report.take}`}</title>
<style>${trusted(STYLE_SHEET)}</style>
</head>
<body>
<noscript><p class="aside">To listen and to move the faders, let this page run its own script. All else is here without it.</p></noscript>
${masthead(report)}
<main>
${comparedSection(report)}
<div class="first-look">${glance(report)}${eyeFirst(report)}</div>
${report.groups.map((group, index) => () => groupSection(group, index))}
${neighboursSection(report.neighbours)}
${healthSection(report)}
${stemsSection(report)}
${residualSection(report)}
${filesSection(report)}
${readingSection(report)}
</main>
<footer class="foot">Drawn from report.json (format ${report.format}), which lies beside this page and inside it.</footer>
<script type="application/json" id="report">`

const AFTER_JSON = '</script>\n'

const AFTER_SOUNDS = html`<script>${trusted(PAGE_SCRIPT)}</script>
</body>
</html>
`.text
