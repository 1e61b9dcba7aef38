import { standingNotchHz } from '../../tone/predict/standing-notch.js'
import type { BlendTone } from '../../tone/tone.js'
import { lossChart, playedSemitones } from '../charts/loss-chart.js'
import type { ReportBlend, ReportGroup } from '../report.js'
import { partsWords, toneWords } from '../words/blend-words.js'
import { bandWords, clock, decibels, fixed, hertz, NO_VALUE, orDash, signed } from '../words/figures.js'
import { notesThatLostMost, passageOf } from '../words/lost-notes.js'
import { unbroken } from '../words/unbroken.js'
import { checkDetails } from './check-details.js'
import { figure } from './figure.js'
import { html, type Markup, named } from './markup.js'
import { table } from './table.js'

/** The group that a blend is of, and which of the song's groups that is. */
export interface BlendPlace {
  readonly group: ReportGroup
  readonly index: number
}

const bandTable = (label: string, tone: BlendTone): Markup =>
  table(
    label,
    [{ head: 'band' }, { head: 'range' }, { head: 'change, dB', numeric: true }],
    tone.bands.map(band => [
      band.name,
      bandWords(band.fromHz, band.toHz),
      orDash(band.changeDb, db => signed(db, 1)),
    ]),
    'dense',
  )

const noteTable = (label: string, tone: BlendTone): Markup =>
  table(
    label,
    [
      { head: 'note' },
      { head: 'Hz', numeric: true },
      { head: 'share of energy', numeric: true },
      { head: 'loss recorded, dB', numeric: true },
      { head: 'loss delivered, dB', numeric: true },
    ],
    playedSemitones(tone).map(semitone => [
      semitone.name,
      fixed(semitone.frequencyHz, 1),
      `${fixed(semitone.energyShare * 100, 1)} %`,
      orDash(semitone.lossBeforeDb, db => fixed(db, 1)),
      orDash(semitone.lossAfterDb, db => fixed(db, 1)),
    ]),
    'dense',
  )

/** The notes that lost most, in the order in which they come; the page's script makes those that it holds playable. */
const worstNotes = (tone: BlendTone, group: ReportGroup, index: number): Markup | null => {
  const notes = notesThatLostMost(tone, passageOf(group))
  if (notes.length === 0) return null
  return html`<div class="lost"><dt>notes that lost most</dt><dd><ul>${notes.map(
    ({ name, atSeconds, lossBeforeDb, lossAfterDb }) =>
      html`<li>${
        atSeconds !== null &&
        html`<span data-note="${atSeconds}" data-note-of="${`${index}/${tone.blend}`}">${clock(atSeconds)} ${name}</span>`
      }${atSeconds === null && name}: ${fixed(-lossBeforeDb, 1)} → ${decibels(-lossAfterDb)}</li>`,
  )}</ul></dd></div>`
}

const notches = ({ firstNotchBeforeHz: before, firstNotchAfterHz: after }: BlendTone): string => {
  if (before === null && after === null) return 'none'
  if (after === null) return `${orDash(before, hertz)} → gone`
  return before === null ? `none → ${hertz(after)}` : `${hertz(before)} → ${hertz(after)}`
}

/** A ripple in a low end that was lost as a whole is not what a notch is looked at for. */
const notStanding = (tone: BlendTone): Markup | null =>
  tone.firstNotchBeforeHz !== null &&
  standingNotchHz(tone.firstNotchBeforeHz, tone.frequenciesHz, tone.before.lossDb) === null
    ? html` <span class="aside">in a low end that cancelled as a whole</span>`
    : null

const facts = (tone: BlendTone, group: ReportGroup, index: number): Markup => html`<dl class="facts">
${
  tone.evennessBeforeDb !== null &&
  html`<div><dt>evenness</dt><dd>${fixed(tone.evennessBeforeDb, 1)} → ${orDash(tone.evennessAfterDb, db => `${fixed(db, 1)} dB`)}</dd></div>`
}
<div><dt>first notch</dt><dd>${notches(tone)}${notStanding(tone)}</dd></div>
<div><dt>level</dt><dd>${orDash(tone.broadbandChangeDb, decibels)}</dd></div>
${worstNotes(tone, group, index)}</dl>`

const tonePart = (place: BlendPlace, blend: ReportBlend, tone: BlendTone, id: string): Markup =>
  html`${figure({
    id: `loss-${id}`,
    place: 'column',
    draw: (width, chartId) =>
      lossChart(
        tone,
        {
          id: chartId,
          title: `Loss of ${blend.name} over frequency`,
          description: `What the parts lose by not being in phase, as recorded and as delivered. ${tone.words}.`,
        },
        width,
      ),
    caption: html`<span class="key"><i class="stroke before"></i> as recorded</span> <span class="key"><i class="stroke after"></i> as delivered</span>${
      playedSemitones(tone).length > 0 &&
      html` <span class="key">dots: each note played, with its overtones; bars: its share of the energy</span>`
    }`,
    table: html`${bandTable(`Level of ${blend.name} by bands`, tone)}${
      playedSemitones(tone).length > 0 && noteTable(`Loss of ${blend.name} by note`, tone)
    }`,
  })}<div class="told">${facts(tone, place.group, place.index)}${checkDetails(blend, tone.check)}</div>`

/** One blend: what it is made of, its loss over frequency before and after, and whether the written file bears the prediction out. */
export const blendSection = (
  place: BlendPlace,
  blend: ReportBlend,
  id: string,
): Markup => html`<section class="blend" aria-labelledby="blend-${id}">
<h4 id="blend-${id}">${named(blend.name)} <span class="aside">${partsWords(blend)}</span></h4>
<p class="words">${unbroken(toneWords(blend))}</p>
${blend.aligned && blend.tone !== null ? tonePart(place, blend, blend.tone, id) : html``}
${blend.stem === null ? html`<p class="aside">${NO_VALUE} not delivered</p>` : html``}
</section>`
