import { padded, textWidth } from '../terms/text-width.js'

/** A column of a table for people. */
export interface Column {
  readonly title: string
  readonly align: 'left' | 'right'
  /** Where the table is too wide, columns go in the order 1, 2, …; 0 = it stays. */
  readonly dropOrder: number
}

const GAP = 2

/**
 * Aligned rows, the titles first, in at most `width` columns where leaving out the columns that may go makes that possible.
 * Columns in which no row has anything are left out.
 */
export const tableLines = (
  columns: readonly Column[],
  rows: readonly (readonly string[])[],
  width: number,
): readonly string[] => {
  const lines = [columns.map(column => column.title), ...rows]
  const all = columns.map((column, i) => ({
    ...column,
    i,
    width: Math.max(...lines.map(line => textWidth(line[i] ?? ''))),
  }))
  let kept = all.filter(({ i }) => rows.some(row => (row[i] ?? '') !== ''))
  const total = () => kept.reduce((sum, column) => sum + column.width + GAP, -GAP)
  while (total() > width) {
    const first = kept.filter(c => c.dropOrder > 0).sort((a, b) => a.dropOrder - b.dropOrder)[0]
    if (first === undefined) break
    kept = kept.filter(column => column !== first)
  }
  return lines.map(line =>
    kept
      .map(({ i, width: cells, align }) => padded(line[i] ?? '', cells, align === 'left' ? 'right' : 'left'))
      .join(' '.repeat(GAP))
      .trimEnd(),
  )
}
