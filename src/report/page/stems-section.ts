import type { Report, ReportStem } from '../report.js'
import { clock, fixed, NO_VALUE, orDash, signed, timeOfDay } from '../words/figures.js'
import { edgeWords, sourceOfKey } from '../words/stem-words.js'
import { html, type Markup, named, type Piece } from './markup.js'
import { table } from './table.js'

const word = (stem: ReportStem): string => (stem.depth === '32f' ? '32 bit float' : `${stem.depth} bit`)

/** Cuts and fades at the edges, stem by stem; nothing where there are none. */
const edges = (report: Report): Markup | null => {
  const touched = report.stems.flatMap(stem => {
    const words = edgeWords(stem)
    return words.length === 0 ? [] : [html`<li>${named(stem.file)} – ${words.join('; ')}</li>`]
  })
  return touched.length === 0 ? null : html`<ul class="edges">${touched}</ul>`
}

const row = (stem: ReportStem): readonly Piece[] => [
  named(stem.file),
  stem.parts.map(
    (part, i) =>
      html`${i > 0 && ' · '}${named(sourceOfKey(part.source))}${stem.kind === 'blend' && ` ${part.weightShown}`}`,
  ),
  orDash(stem.loudnessLufs, value => signed(value, 1)),
  orDash(stem.truePeakDbtp, value => signed(value, 1)),
  `${word(stem)}${stem.dither ? ', dither' : ''}${stem.channels > 1 ? ` × ${stem.channels}` : ''}`,
]

const common = (report: Report): Markup => {
  const { turnDownDb, ceilingDbtp, stampSamples, stampRateHz } = report.delivery
  const [first] = report.stems
  const turned =
    turnDownDb > 0
      ? `All blends are turned down by ${fixed(turnDownDb, 1)} dB so that none passes ${fixed(ceilingDbtp, 1)} dBTP.`
      : `No blend passes ${fixed(ceilingDbtp, 1)} dBTP; nothing was turned down.`
  const start =
    stampSamples === null || stampRateHz === null
      ? 'They carry no time stamp: place them at zero.'
      : `They carry the time stamp ${timeOfDay(stampSamples, stampRateHz)} (frame ${stampSamples}).`
  return html`<p>All stems start together and are ${first ? clock(first.seconds, 1) : NO_VALUE} long. ${start} ${turned}</p>`
}

/** What was delivered: each stem with what it is made of, and what holds for all. */
export const stemsSection = (
  report: Report,
): Markup => html`<section class="stems" aria-labelledby="stems"><h3 id="stems">Stems</h3>
${common(report)}
${table(
  'Stems, file by file',
  [
    { head: 'file' },
    { head: 'made of' },
    { head: 'loudness, LUFS', numeric: true },
    { head: 'true peak, dBTP', numeric: true },
    { head: 'word' },
  ],
  report.stems.map(row),
)}${edges(report)}</section>`
