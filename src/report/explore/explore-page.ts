import { EXPLORE_SCRIPT } from '../generated/explore-script.js'
import type { SoundBytes } from '../listen/listen.js'
import { embeddedJson } from '../page/embedded-json.js'
import { embeddedSound } from '../page/embedded-sound.js'
import { html, type Markup, named, trusted } from '../page/markup.js'
import { policyFor } from '../page/policy.js'
import { EXPLORE } from '../page/style/explore.js'
import { STYLE_SHEET } from '../page/style/style-sheet.js'
import { clock } from '../words/figures.js'
import { cellWords } from './cell-words.js'
import { cellsOf } from './choices.js'
import type { Explorable, Exploration } from './exploration.js'
import { besideSection, gridSection } from './grid-section.js'

/** Stands in every page of `explore` and in nothing else: such a page may be replaced by the next. */
export const EXPLORE_MARK = '<meta name="generator" content="sumwell explore">'

const STYLE = `${STYLE_SHEET}${EXPLORE}`

/** The page piece by piece; it needs nothing but itself, and plays nothing before it is asked to. The same exploration gives the same page. */
export function* explorePageParts(exploration: Exploration, sounds: SoundBytes): Generator<string> {
  yield beforeSounds(exploration).text
  for (const sound of sounds) yield* embeddedSound(sound)
  yield AFTER_SOUNDS
}

const explorableOf = ({ sampleRateHz, listen, equal, choices, written }: Exploration): Explorable => {
  const cells = cellsOf(choices)
  return {
    sampleRateHz,
    listen,
    equal,
    cells: cells.map((cell, c) => ({ cell, words: cellWords(cell), written: written[c]! })),
    reference: cells.indexOf(choices.beside[0]!),
  }
}

const passage = ({ listen, sampleRateHz }: Exploration): Markup => {
  const seconds = listen.frames / sampleRateHz
  const why =
    listen.chosenBy === 'recipe'
      ? 'the stretch that the recipe names'
      : 'where lining up changes most while all sources play'
  return html`${clock(listen.startSeconds, 1)} to ${clock(listen.startSeconds + seconds, 1)}: ${why}`
}

const deck = html`<section class="desk deck" aria-label="Sound">
<p class="caution"><b>Start low.</b> The sound begins switched off and 20 dB down.</p>
<div class="row"><button type="button" data-do="play">Play</button>
<label><input type="checkbox" data-set="sound"> sound on</label>
<label>level <input type="range" data-set="level" min="-60" max="0" step="1" value="-20"></label> <output data-tell="level">−20 dB</output>
<label><input type="checkbox" data-set="match" checked> at one loudness</label>
<button type="button" data-do="before">the one before</button>
<button type="button" data-do="write">write it down</button></div>
<p class="settings" aria-live="polite"><span data-tell="cell"></span> <span class="aside" data-tell="match"></span> <span class="muted" data-tell="muted"></span></p>
<div class="written" hidden><label>Lines for the recipe<textarea readonly rows="12" cols="80" spellcheck="false" data-tell="yaml"></textarea></label>
<button type="button" data-do="copy">copy</button></div></section>`

const beforeSounds = (exploration: Exploration): Markup => {
  const { song, take, group, recipeFile, tool, choices, figures, moves } = exploration
  const cells = cellsOf(choices)
  const tell = (cell: (typeof cells)[number]) => {
    const number = cells.indexOf(cell)
    return { number, cell, figures: figures[number] ?? null }
  }
  return html`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policyFor([STYLE], [EXPLORE_SCRIPT])}">
${trusted(EXPLORE_MARK)}
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<title>${song}${take !== null && `, take ${take}`}: blends of ${group}</title>
<style>${trusted(STYLE)}</style>
</head>
<body>
<noscript><p class="aside">To listen, let this page run its own script. The figures are here without it.</p></noscript>
<header class="masthead">
<h1>Blends of ${named(group)} <span class="take">${named(song)}${take !== null && html`, take ${named(take)}`}</span></h1>
<p class="from">${named(recipeFile)} · sumwell ${tool.version}</p>
</header>
<main>
<p class="settings">${cells.length} blends of ${passage(exploration)}. Choose one with the mouse or the arrow keys: it goes on at the same sample. All are brought to one loudness (BS.1770 over the passage), 6 dB under the reference alone, so that louder is not taken for better.</p>
${deck}
${choices.grids.map(grid => gridSection(grid, tell))}
${besideSection(choices.beside, tell)}
<section class="grid" aria-labelledby="moves"><h2 id="moves">What lined up means here</h2>
<ul>${moves.map(({ source, because }) => html`<li><b>${named(source)}</b>: ${because}</li>`)}</ul>
<p class="aside">Shares are amplitude weights after every source was brought to the level of the reference over the whole take, as in a recipe. Evenness and loss are predicted from the whole take, not from the passage: evenness is how much the loss differs from note to note, small is even, and left out where nothing is pitched; the loss is told where the common sound of the parts loses most by not being in phase. A dash stands where a lag changes during the take and no one figure tells it.</p></section>
</main>
<script type="application/json" id="explorable">${trusted(embeddedJson(explorableOf(exploration)))}</script>
`
}

const AFTER_SOUNDS = html`<script>${trusted(EXPLORE_SCRIPT)}</script>
</body>
</html>
`.text
