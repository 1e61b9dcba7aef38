import type { ToneCheck } from '../../tone/tone.js'
import type { ReportBlend } from '../report.js'
import { counted, hertz, orDash, signed, within } from '../words/figures.js'
import { html, type Markup } from './markup.js'
import { table } from './table.js'

/** Prediction against what an independent filter bank measured on the written file, in a sentence and a table. */
export const checkDetails = (blend: ReportBlend, check: ToneCheck | null): Markup => {
  if (check === null) return html`<p class="check">The written file was not measured.</p>`
  const label = `Predicted against measured tone of ${blend.name}`
  const near =
    check.worstDifferenceDb === null
      ? 'not comparable'
      : `as predicted ${within(Math.abs(check.worstDifferenceDb))}`
  return html`<p class="check">Measured again on the written file: ${near} over ${counted(check.bandsJudged, 'third octave')}.</p>
<details class="behind"><summary>Prediction and result</summary>${table(
    label,
    [
      { head: 'third octave' },
      { head: 'predicted, dB', numeric: true },
      { head: 'measured, dB', numeric: true },
      { head: 'difference, dB', numeric: true },
      { head: 'judged' },
    ],
    check.thirdOctaves.map(band => [
      hertz(band.centreHz),
      orDash(band.predictedDb, db => signed(db, 2)),
      orDash(band.measuredDb, db => signed(db, 2)),
      orDash(band.differenceDb, db => signed(db, 2)),
      band.judged ? 'yes' : 'too quiet',
    ]),
    'dense',
  )}</details>`
}
