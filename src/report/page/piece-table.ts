import type { ReportGroup, ReportPiece, ReportSource } from '../report.js'
import { fixed, NO_VALUE, orDash, signed } from '../words/figures.js'
import { changeWords, heardBefore, heardWords, pieceDone } from '../words/piece-words.js'
import { html, type Markup, named, type Piece } from './markup.js'
import { table } from './table.js'
import { verdictMark } from './verdict-mark.js'

const row = (source: ReportSource, piece: ReportPiece, before: ReportPiece | undefined): readonly Piece[] => {
  const change = source.isReference ? null : changeWords(piece, before)
  return [
    html`${named(source.name)} <span class="aside">piece ${piece.piece}</span>`,
    html`${named(piece.file)}<span class="reason">${heardWords(piece)}</span>`,
    source.isReference ? NO_VALUE : orDash(piece.lagMs, ms => signed(ms, 3)),
    source.isReference || piece.lagSamples === null
      ? NO_VALUE
      : html`${signed(piece.lagSamples, 2)}${
          piece.shownUncertaintySamples !== null &&
          html` <span class="pm">± ${fixed(piece.shownUncertaintySamples, 2)}</span>`
        }`,
    piece.polarity ?? NO_VALUE,
    html`${verdictMark(piece.verdict)}${piece.reason !== null && html`<span class="reason">${piece.reason}</span>`}`,
    html`${pieceDone(piece, source)}${change !== null && html`<span class="reason">${change}</span>`}`,
  ]
}

/** The pieces of a group's sources: punch-ins and comps, each with its own lag. Null where all sources are one file. */
export const pieceTable = (group: ReportGroup): Markup | null => {
  const rows = group.sources.flatMap(source =>
    (source.pieces ?? []).map((piece, _, all) => row(source, piece, heardBefore(all, piece))),
  )
  if (rows.length === 0) return null
  return table(
    `Pieces in ${group.name}`,
    [
      { head: 'piece' },
      { head: 'file, heard' },
      { head: 'lag, ms', numeric: true },
      { head: 'frames', numeric: true },
      { head: 'polarity' },
      { head: 'verdict' },
      { head: 'done' },
    ],
    rows,
    'sources',
  )
}
