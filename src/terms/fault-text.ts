import type { Fault, Place } from './fault.js'
import { textWidth } from './text-width.js'
import { visibleText } from './visible-text.js'

export interface FaultTextOptions {
  /** ANSI colours; off by default. */
  readonly colour?: boolean
  /** Longest line in columns before a source line is clipped; 100 by default, at least 40. */
  readonly width?: number
}

/**
 * A fault for a person at a terminal, without a line end after it:
 *
 *     song.yaml:17:15  RECIPE_UNIT  40 has no unit
 *     17 |       search: 40
 *        |               ^^
 *        |               40 ms ?
 *     expected a time with its unit (ms, s, samples), such as "40 ms"
 *     to mend: write 40 ms
 *
 * The caret stands under the text also after tabs and wide characters; a long line is clipped around the place.
 */
export const faultText = (fault: Fault, options: FaultTextOptions = {}): string => {
  const paint = options.colour === true ? ansi : plain
  const { place } = fault
  const where =
    place === null
      ? fault.file === null
        ? ''
        : `${visibleText(fault.file)}  `
      : `${visibleText(place.file)}:${place.line}:${place.column}  `
  const head = `${paint.bold(where)}${paint.red(fault.code)}  ${visibleText(fault.message)}`
  const frame = place === null ? [] : frameOf(place, fault.nearest, Math.max(40, options.width ?? 100), paint)
  const expected = fault.expected === null ? [] : [`expected ${visibleText(fault.expected)}`]
  const nearest = place === null && fault.nearest !== null ? [`nearest: ${visibleText(fault.nearest)}`] : []
  const mend = fault.mend === null ? [] : [`to mend: ${visibleText(fault.mend)}`]
  return [head, ...frame, ...expected, ...nearest, ...mend].join('\n')
}

interface Paint {
  readonly bold: (text: string) => string
  readonly red: (text: string) => string
  readonly green: (text: string) => string
  readonly dim: (text: string) => string
}

const same = (text: string): string => text
const plain: Paint = { bold: same, red: same, green: same, dim: same }
const sgr =
  (on: number, off: number) =>
  (text: string): string =>
    text === '' ? '' : `\u001b[${on}m${text}\u001b[${off}m`
const ansi: Paint = { bold: sgr(1, 22), red: sgr(31, 39), green: sgr(32, 39), dim: sgr(2, 22) }

const frameOf = (place: Place, nearest: string | null, width: number, paint: Paint): readonly string[] => {
  const number = String(place.line)
  const gutter = paint.dim(`${number} | `)
  const under = paint.dim(`${' '.repeat(number.length)} | `)
  const clip = clipped(Array.from(place.sourceLine, cellOf), place, width - number.length - 3)
  const lead = clip.lead.map(blankFor).join('')
  const marks = clip.marked.reduce((columns, cell) => columns + textWidth(cell), 0)
  const lines = [
    `${gutter}${clip.text}`.trimEnd(),
    `${under}${lead}${paint.red('^'.repeat(Math.max(1, marks)))}`,
  ]
  return nearest === null ? lines : [...lines, `${under}${lead}${paint.green(`${visibleText(nearest)} ?`)}`]
}

/** One character of a source line as it is shown: a tab stays, what would be unseen or act is written out. */
const cellOf = (character: string): string => (character === '\t' ? character : visibleText(character))

/** As wide as the cell, so that what stands below stays below: a tab stays a tab. */
const blankFor = (cell: string): string => (cell === '\t' ? '\t' : ' '.repeat(textWidth(cell)))

interface Clip {
  readonly text: string
  readonly lead: readonly string[]
  readonly marked: readonly string[]
}

/** The part of a line that shows the place: whole where it fits, else a window with an ellipsis at each cut end. */
const clipped = (line: readonly string[], place: Place, room: number): Clip => {
  const first = place.column - 1
  const last = Math.min(first + place.length, Math.max(line.length, first + 1))
  if (line.length <= room) {
    return { text: line.join(''), lead: line.slice(0, first), marked: line.slice(first, last) }
  }
  const inside = room - 2
  const start = Math.max(0, Math.min(first - Math.floor(inside / 3), line.length - inside))
  const end = Math.min(line.length, start + inside)
  const before = start > 0 ? ['\u2026'] : []
  const after = end < line.length ? ['\u2026'] : []
  return {
    text: [...before, ...line.slice(start, end), ...after].join(''),
    lead: [...before, ...line.slice(start, first)],
    marked: line.slice(first, Math.min(last, end)),
  }
}
