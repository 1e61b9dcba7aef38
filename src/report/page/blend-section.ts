import type { BlendTone } from '../../tone/tone.js'
import { lossChart, playedSemitones } from '../charts/loss-chart.js'
import type { ReportBlend } from '../report.js'
import { partsWords, toneWords } from '../words/blend-words.js'
import { bandWords, decibels, fixed, hertz, NO_VALUE, orDash, signed } from '../words/figures.js'
import { unbroken } from '../words/unbroken.js'
import { checkDetails } from './check-details.js'
import { figure } from './figure.js'
import { html, type Markup, named } from './markup.js'
import { table } from './table.js'

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

/** The notes that changed most for the better, by what they had lost and weigh. */
const worstNotes = (tone: BlendTone): Markup | null => {
  const notes = playedSemitones(tone)
    .filter(s => (s.lossBeforeDb ?? 0) >= 1 && s.lossAfterDb !== null)
    .sort((a, b) => (b.lossBeforeDb ?? 0) * b.energyShare - (a.lossBeforeDb ?? 0) * a.energyShare)
    .slice(0, 3)
  if (notes.length === 0) return null
  return html`<div><dt>notes that lost most</dt><dd>${notes.map(
    (note, i) =>
      html`${i > 0 && ', '}${note.name} ${orDash(note.lossBeforeDb, db => fixed(-db, 1))} → ${orDash(note.lossAfterDb, db => decibels(-db))}`,
  )}</dd></div>`
}

const notches = ({ firstNotchBeforeHz: before, firstNotchAfterHz: after }: BlendTone): string => {
  if (before === null && after === null) return 'none'
  if (after === null) return `${orDash(before, hertz)} → gone`
  return before === null ? `none → ${hertz(after)}` : `${hertz(before)} → ${hertz(after)}`
}

const facts = (tone: BlendTone): Markup => html`<dl class="facts">
${
  tone.evennessBeforeDb !== null &&
  html`<div><dt>evenness</dt><dd>${fixed(tone.evennessBeforeDb, 1)} → ${orDash(tone.evennessAfterDb, db => `${fixed(db, 1)} dB`)}</dd></div>`
}
<div><dt>first notch</dt><dd>${notches(tone)}</dd></div>
<div><dt>level</dt><dd>${orDash(tone.broadbandChangeDb, decibels)}</dd></div>
${worstNotes(tone)}</dl>`

const tonePart = (blend: ReportBlend, tone: BlendTone, id: string): Markup =>
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
  })}<div class="told">${facts(tone)}${checkDetails(blend, tone.check)}</div>`

/** One blend: what it is made of, its loss over frequency before and after, and whether the written file bears the prediction out. */
export const blendSection = (
  blend: ReportBlend,
  id: string,
): Markup => html`<section class="blend" aria-labelledby="blend-${id}">
<h4 id="blend-${id}">${named(blend.name)} <span class="aside">${partsWords(blend)}</span></h4>
<p class="words">${unbroken(toneWords(blend))}</p>
${blend.aligned && blend.tone !== null ? tonePart(blend, blend.tone, id) : html``}
${blend.stem === null ? html`<p class="aside">${NO_VALUE} not delivered</p>` : html``}
</section>`
