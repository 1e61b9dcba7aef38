import type { ReportGroup, ReportSource } from '../report.js'
import { fixed, metres, NO_VALUE, orDash, signed } from '../words/figures.js'
import { pooledWords } from '../words/pooled-words.js'
import { doneWords } from '../words/source-words.js'
import { html, type Markup, named, type Piece } from './markup.js'
import { table } from './table.js'
import { verdictMark } from './verdict-mark.js'

const uncertainty = (source: ReportSource): Piece => {
  const { lagSamples, shownUncertaintySamples } = source.measured
  if (lagSamples === null) return NO_VALUE
  if (source.isReference) return '0'
  return html`${signed(lagSamples, 2)}${
    shownUncertaintySamples !== null && html` <span class="pm">± ${fixed(shownUncertaintySamples, 2)}</span>`
  }`
}

const distance = (source: ReportSource): Piece => {
  const { distanceMetres } = source.measured
  const told = source.toldDistanceMetres
  return html`${orDash(distanceMetres, metres)}${told !== null && html` <span class="aside">recipe ${metres(told)}</span>`}`
}

const pooledSpan = ({ measured }: ReportSource): Piece => {
  const words = pooledWords(measured.pooled)
  return words !== null && html`<span class="reason">${words}</span>`
}

const row = (source: ReportSource, group: ReportGroup): readonly Piece[] => [
  html`${named(source.name)}${source.via !== null && html` <span class="aside">${source.via}</span>`}${
    source.isReference && html` <span class="aside">reference</span>`
  }`,
  orDash(source.measured.lagMs, ms => (source.isReference ? '0' : signed(ms, 3))),
  uncertainty(source),
  source.isReference ? NO_VALUE : distance(source),
  source.measured.polarity ?? NO_VALUE,
  html`${verdictMark(source.measured.verdict)}${
    source.measured.reason !== null && html`<span class="reason">${source.measured.reason}</span>`
  }${pooledSpan(source)}`,
  html`${doneWords(source, group.sampleRateHz)}${
    source.move !== null && html`<span class="reason">${source.move.because}</span>`
  }`,
]

/** The sources of a group: what was measured, how sure, what was done and why. */
export const sourceTable = (group: ReportGroup): Markup =>
  table(
    `Sources of ${group.name}`,
    [
      { head: 'source' },
      { head: 'lag, ms', numeric: true },
      { head: 'frames', numeric: true },
      { head: 'air', numeric: true },
      { head: 'polarity' },
      { head: 'verdict' },
      { head: 'done, and why' },
    ],
    group.sources.map(source => row(source, group)),
    'sources',
  )
