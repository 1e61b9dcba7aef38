import type { Report, ReportStem } from '../report.js'
import { clock, fixed, NO_VALUE, timeOfDay } from '../words/figures.js'
import { backWords, levelsOf, partMoves } from '../words/part-moves.js'
import { edgeWords } from '../words/stem-words.js'
import { html, type Markup, named, type Piece } from './markup.js'
import { table } from './table.js'

const word = (stem: ReportStem): string =>
  `${stem.depth === '32f' ? '32 bit float' : `${stem.depth} bit`}${stem.dither ? ', dither' : ''}${
    stem.channels > 1 ? ` × ${stem.channels}` : ''
  }`

/** Cuts and fades at the edges, stem by stem; nothing where there are none. */
const edges = (report: Report): Markup | null => {
  const touched = report.stems.flatMap(stem => {
    const words = edgeWords(stem)
    return words.length === 0 ? [] : [html`<li>${named(stem.file)} – ${words.join('; ')}</li>`]
  })
  return touched.length === 0 ? null : html`<ul class="edges">${touched}</ul>`
}

/** One line a part, so that the columns of a row read across. */
const lines = (texts: readonly Piece[]): Markup =>
  html`${texts.map(text => html`<span class="line">${text}</span>`)}`

const row = (report: Report, stem: ReportStem): readonly Piece[] => {
  const parts = stem.parts.map(part => partMoves(report, stem, part))
  const [peak, truePeak, loudness] = levelsOf(stem)
  return [
    html`${named(stem.file)}<span class="reason">${word(stem)}</span>`,
    lines(parts.map(({ source, weight }) => html`${named(source)}${stem.kind === 'blend' && ` ${weight}`}`)),
    lines(parts.map(({ gain }) => gain)),
    lines(parts.map(({ polarity }) => polarity)),
    lines(parts.map(({ ms }) => ms)),
    lines(parts.map(({ frames }) => frames)),
    ...(report.tempoBpm === null ? [] : [lines(parts.map(({ beats }) => beats))]),
    peak,
    truePeak,
    loudness,
  ]
}

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
  const rates = [...new Set(report.stems.map(({ sampleRateHz }) => `${sampleRateHz} Hz`))].join(', ')
  const tempo = report.tempoBpm === null ? '' : `, ${report.tempoBpm} BPM`
  return html`<p>All stems start together and are ${first ? clock(first.seconds, 1) : NO_VALUE} long, ${rates}${tempo}. ${start} ${turned} A positive shift is later; gains are what was applied in all.</p>`
}

/** How each single source is put back, in one sentence for all. */
const putBack = (report: Report): Markup => {
  const moved = report.stems.flatMap(stem => {
    const words = backWords(report, stem)
    return words === null ? [] : [html`<li>${named(stem.file)}: ${words}</li>`]
  })
  return moved.length === 0
    ? html`<p>No single source was moved: they are as recorded.</p>`
    : html`<div class="back"><p>Back to the sound as recorded, source by source:</p><ul class="edges">${moved}</ul></div>`
}

/** What was delivered: each stem with what it is made of, every move, its levels, how to undo them, and room for a name and a number. */
export const stemsSection = (
  report: Report,
): Markup => html`<section class="stems" aria-labelledby="stems"><h3 id="stems">Stems</h3>
${common(report)}
${table(
  'Stems, file by file',
  [
    { head: 'file' },
    { head: 'made of' },
    { head: 'gain', numeric: true },
    { head: 'polarity' },
    { head: 'shift, ms', numeric: true },
    { head: 'frames', numeric: true },
    ...(report.tempoBpm === null ? [] : [{ head: 'beats', numeric: true }]),
    { head: 'peak, dBFS', numeric: true },
    { head: 'peak, dBTP', numeric: true },
    { head: 'LUFS', numeric: true },
  ],
  report.stems.map(stem => row(report, stem)),
  'moves',
)}${edges(report)}${putBack(report)}<dl class="contact"><div><dt>Engineer</dt><dd></dd></div><div><dt>Telephone, mail</dt><dd></dd></div><div><dt>Notes for the mix</dt><dd></dd></div></dl></section>`
