import { deskChart } from '../charts/desk-chart.js'
import type { DeskBlend, DeskStrip } from '../desk/desk.js'
import { FADER_REACH_MS } from '../desk/faders.js'
import { TURNS } from '../listen/blind-test.js'
import type { ReportBlend, ReportGroup } from '../report.js'
import { clock, fixed } from '../words/figures.js'
import { figure } from './figure.js'
import { html, type Markup, named } from './markup.js'

const DEPTHS = {
  s16: '16 bit',
  s24: '24 bit',
  s32: '32 bit',
  f32: '32 bit float',
  f64: '64 bit float',
} as const

/** What the page holds of this group, and why that stretch. */
export const heldPassage = (group: ReportGroup): Markup | null => {
  const { listen } = group
  if (listen === null) return null
  const seconds = listen.frames / group.sampleRateHz
  const why =
    listen.chosenBy === 'recipe'
      ? 'the stretch that the recipe names'
      : 'where lining up changes most while all sources play'
  const cut =
    listen.wishedSeconds - seconds > 0.05
      ? `, ${fixed(seconds, 1)} s of the ${fixed(listen.wishedSeconds, 0)} wished for, so that the page stays under 25 MB`
      : `, ${fixed(seconds, 1)} s`
  const own = `${group.name}/`
  const names = listen.sounds.map(({ source }) =>
    source.startsWith(own) ? source.slice(own.length) : source,
  )
  const depths = [...new Set(listen.sounds.map(({ coding }) => DEPTHS[coding]))].join(', ')
  return html`<p class="aside held-passage" hidden>What is heard: ${clock(listen.startSeconds, 1)} to ${clock(listen.startSeconds + seconds, 1)}${cut}: ${why}. The page holds ${names.map(
    (name, i) => html`${i > 0 && ', '}${named(name)}`,
  )} as recorded, ${depths}, no bit lost; blends are made from them here.</p>`
}

const transport = (
  id: string,
  seconds: number,
): Markup => html`<p class="caution"><b>Start low.</b> The sound begins switched off and 20 dB down. Lined up, the same parts are louder than before.</p>
<div class="row"><button type="button" data-do="play">Play</button>
<label><input type="checkbox" data-set="sound"> sound on</label>
<label>level <input type="range" data-set="level" min="-60" max="0" step="1" value="-20"></label> <output data-tell="level">−20 dB</output> <span class="muted" data-tell="muted" role="status"></span></div>
<fieldset class="row"><legend>Hear the blend</legend>
<label><input type="radio" name="hear-${id}" value="recorded"> as recorded</label>
<label><input type="radio" name="hear-${id}" value="delivered" checked> lined up</label>
<label><input type="radio" name="hear-${id}" value="reference"> reference alone</label>
<label><input type="radio" name="hear-${id}" value="yours"> yours</label>
<label><input type="checkbox" data-set="match" checked> at one loudness</label> <span class="aside" data-tell="match"></span></fieldset>
<div class="row"><label>place <input type="range" class="long" data-set="place" min="0" max="${fixed(seconds, 2)}" step="0.01" value="0"></label> <output data-tell="place"></output>
<button type="button" data-do="loudest">to the loudest difference</button></div>
<div class="row"><button type="button" data-do="from">loop from here</button> <button type="button" data-do="to">loop to here</button> <button type="button" data-do="whole">loop all of it</button> <span class="aside" data-tell="loop"></span></div>`

const stripRow = (
  strip: DeskStrip,
  index: number,
): Markup => html`<tr data-strip="${index}"><th scope="row">${named(strip.source)}</th>
<td><label><span class="unseen">gain of ${named(strip.source)}</span><input type="range" data-fader="gainDb" min="-24" max="12" step="0.1" value="0"></label> <output data-tell="gainDb"></output></td>
<td><label><input type="checkbox" data-fader="turned"> turned over<span class="unseen">, ${named(strip.source)}</span></label></td>
<td>${
  strip.isReference
    ? html`<span class="aside">stays; move the others</span>`
    : html`<label><span class="unseen">lag of ${named(strip.source)}</span><input type="range" class="long" data-fader="laterMs" min="${-FADER_REACH_MS}" max="${FADER_REACH_MS}" step="0.01" value="0"></label> <output data-tell="laterMs"></output>`
}</td>
<td><label><input type="checkbox" data-fader="off"> off<span class="unseen">, ${named(strip.source)}</span></label></td></tr>
`

const faders = (
  desk: DeskBlend,
  blend: ReportBlend,
  id: string,
): Markup => html`<details class="faders"><summary>Your own blend: gain, polarity and lag by hand</summary>
<section class="scroll" aria-label="Faders of ${blend.name}" tabindex="0"><table class="plain hands"><thead><tr><th scope="col">source</th><th scope="col">gain</th><th scope="col">polarity</th><th scope="col">later than lined up</th><th scope="col">in the blend</th></tr></thead>
<tbody>${desk.strips.map(stripRow)}</tbody></table></section>
<div class="try">${
  blend.tone !== null &&
  figure({
    id: `desk-chart-${id}`,
    place: 'column',
    draw: (width, chartId) =>
      deskChart(
        blend.tone!,
        {
          id: chartId,
          title: `Loss of your own blend of ${blend.name} over frequency`,
          description: 'As recorded, as delivered, and as the faders stand. The figures below it follow.',
        },
        width,
      ),
    caption: html`<span class="key"><i class="stroke before"></i> as recorded</span> <span class="key"><i class="stroke after"></i> as delivered</span> <span class="key"><i class="stroke yours"></i> yours</span>`,
    table: null,
  })
}<div><dl class="facts" aria-live="polite"><div><dt>first notch</dt><dd data-tell="notch"></dd></div><div><dt>evenness</dt><dd data-tell="evenness"></dd></div><div><dt>most lost</dt><dd data-tell="worst"></dd></div></dl>
<div class="row"><button type="button" data-do="rest">all as delivered</button> <button type="button" data-do="write">write it down</button></div>
<div class="written" hidden><label>Lines for the recipe<textarea readonly rows="12" cols="80" spellcheck="false" data-tell="yaml"></textarea></label>
<button type="button" data-do="copy">copy</button></div></div></div></details>`

const blind = (
  id: string,
): Markup => html`<details class="blind"><summary>Blind test: ${TURNS} turns</summary>
<fieldset class="row"><legend>The question</legend>
<label><input type="radio" name="question-${id}" value="which" checked> which of the two is lined up?</label>
<label><input type="radio" name="question-${id}" value="prefer"> which do you prefer?</label>
<button type="button" data-do="blind">begin</button></fieldset>
<div class="turn" hidden><p data-tell="turn" aria-live="polite"></p>
<div class="row"><button type="button" data-do="hearA" aria-pressed="false">hear A</button> <button type="button" data-do="hearB" aria-pressed="false">hear B</button></div>
<div class="row"><button type="button" data-do="takeA">A it is</button> <button type="button" data-do="takeB">B it is</button> <button type="button" data-do="giveUp">stop the test</button></div></div>
<p data-tell="result" aria-live="polite"></p><p class="aside">Both play at one loudness. Nothing is kept or sent; a reload forgets it.</p></details>`

/**
 * Where a blend is heard and tried: shown by the page's script, which fills it with life. Without the script, on paper, or where nothing
 * is lined up it is not there.
 */
export const deskSection = (group: ReportGroup, blend: ReportBlend, index: number): Markup | null => {
  const desk = group.desk?.blends.find(({ name }) => name === blend.name)
  if (desk === undefined) return null
  const id = `${index}-${group.blends.indexOf(blend)}`
  const { listen } = group
  return html`<section class="desk" data-group="${index}" data-blend="${group.desk!.blends.indexOf(desk)}" aria-labelledby="desk-${id}" hidden>
<h4 id="desk-${id}">Hear ${named(desk.name)}</h4>
<div class="sounding" hidden>${listen !== null && transport(id, listen.frames / group.sampleRateHz)}</div>
<p class="aside silent" hidden>This page was made without sound; the curve follows the faders all the same.</p>
${faders(desk, blend, id)}${listen !== null && blind(id)}</section>`
}
