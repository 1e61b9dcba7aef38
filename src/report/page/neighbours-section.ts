import { whenLost } from '../../tone/neighbours/neighbour-warnings.js'
import type { Neighbours } from '../../tone/neighbours/neighbours.js'
import { songSumChart } from '../charts/song-sum-chart.js'
import { counted, fixed, hertz, orDash, signed } from '../words/figures.js'
import { figure } from './figure.js'
import { html, type Markup, named } from './markup.js'
import { table } from './table.js'

/** So many losses are told at once; the table behind the chart holds the rest of the song. */
const SHOWN = 6

const BARS = html`<p class="aside">Bars are counted from the start of the stems.</p>`

/** What could not be summed with the rest. */
const left = ({ otherRates }: Neighbours): Markup | null =>
  otherRates.length === 0
    ? null
    : html` Not in the sum, being of another sample rate: ${otherRates.map((name, i) => html`${i > 0 && ', '}${named(name)}`)}.`

const verdict = ({ losses, voices }: Neighbours): Markup => {
  if (losses.length === 0) {
    return html`<p class="words">Lining up the groups takes nothing from their sum: no third octave of two of the ${voices.length} groups loses more than 1 dB.</p>`
  }
  const rest = losses.length - SHOWN
  return html`<ul class="edges">${losses
    .slice(0, SHOWN)
    .map(
      loss =>
        html`<li><b>${named(loss.groups[0])}</b> with <b>${named(loss.groups[1])}</b>: ${fixed(loss.lossDb, 1)} dB around ${hertz(loss.centreHz)} ${whenLost(loss)}</li>`,
    )}</ul>${rest > 0 && html`<p class="aside">and ${counted(rest, 'more')} in report.json</p>`}${losses.some(({ fromBar }) => fromBar !== null) && BARS}`
}

const sumFigure = ({ thirdOctaves }: Neighbours): Markup =>
  figure({
    id: 'song-sum',
    place: 'column',
    draw: (width, id) =>
      songSumChart(
        {
          centreHz: thirdOctaves.map(({ centreHz }) => centreHz),
          beforeDb: thirdOctaves.map(({ beforeDb }) => beforeDb),
          afterDb: thirdOctaves.map(({ afterDb }) => afterDb),
        },
        {
          id,
          title: 'Level of the sum of all groups over frequency',
          description:
            'In third octaves, under the loudest of them, as recorded and as delivered. The table below holds the values.',
        },
        width,
      ),
    caption: html`<span class="key"><i class="stroke before"></i> as recorded</span> <span class="key"><i class="stroke after"></i> as delivered</span>`,
    table: table(
      'The sum of all groups, third octave by third octave',
      [
        { head: 'third octave' },
        { head: 'recorded, dB', numeric: true },
        { head: 'delivered, dB', numeric: true },
        { head: 'lost between the groups, dB', numeric: true },
      ],
      thirdOctaves.map(band => [
        hertz(band.centreHz),
        orDash(band.beforeDb, db => signed(db, 1)),
        orDash(band.afterDb, db => signed(db, 1)),
        orDash(band.lossDb, db => signed(db, 2)),
      ]),
      'dense',
    ),
  })

/** What the groups do to each other: the sum of the song before and after, and where two of them lose by having been lined up apart. */
export const neighboursSection = (neighbours: Neighbours | null): Markup | null =>
  neighbours === null
    ? null
    : html`<section class="together" aria-labelledby="together"><h3 id="together">All groups together</h3>
<p class="settings">Each group once: ${neighbours.voices.map(
        ({ stems }, i) =>
          html`${i > 0 && ', '}${stems.map((stem, s) => html`${s > 0 && ' + '}${named(stem)}`)}`,
      )}. What bleeds from one group into another is counted.${left(neighbours)}</p>
<div class="beside">${sumFigure(neighbours)}<div class="told">${verdict(neighbours)}</div></div></section>`
