import { padded, textWidth } from '../terms/text-width.js'

/** One column of a table in plain text. */
export interface Column {
  readonly title: string
  readonly align: 'left' | 'right'
  /** Longer texts are wrapped. */
  readonly widest: number
}

const GAP = 2

/**
 * Lines of a table. Every column is as wide as its longest text, up to its `widest`; the last column gets what is left of `width`.
 * Widths count terminal columns. No line is longer than `width` as long as the other columns leave room for ten letters.
 */
export const tableLines = (
  columns: readonly Column[],
  rows: readonly (readonly string[])[],
  width: number,
): readonly string[] => {
  const cells = [columns.map(column => column.title), ...rows]
  const widths = columns.map(({ widest }, i) =>
    Math.min(widest, Math.max(...cells.map(row => textWidth(row[i] ?? '')))),
  )
  const before = widths.slice(0, -1).reduce((sum, w) => sum + w + GAP, 0)
  widths[widths.length - 1] = Math.max(10, width - before)
  return cells.flatMap(row => {
    const wrapped = columns.map((_, i) => wrap(row[i] ?? '', widths[i]!))
    const height = Math.max(...wrapped.map(lines => lines.length))
    return Array.from({ length: height }, (_, line) =>
      columns
        .map(({ align }, i) =>
          padded(wrapped[i]![line] ?? '', widths[i]!, align === 'left' ? 'right' : 'left'),
        )
        .join(' '.repeat(GAP))
        .trimEnd(),
    )
  })
}

/** At spaces where there are any, else in the middle of a word. Never empty. */
export const wrap = (text: string, width: number): readonly string[] => {
  const lines: string[] = []
  let line = ''
  for (const word of text.split(' ')) {
    const joined = line === '' ? word : `${line} ${word}`
    if (textWidth(joined) <= width) {
      line = joined
      continue
    }
    if (line !== '') lines.push(line)
    line = ''
    for (const character of word) {
      if (textWidth(line + character) > width) {
        lines.push(line)
        line = ''
      }
      line += character
    }
  }
  return [...lines, line]
}
