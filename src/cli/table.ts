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
 * Counts code points. Columns in which no row has anything are left out.
 */
export const tableLines = (
  columns: readonly Column[],
  rows: readonly (readonly string[])[],
  width: number,
): string[] => {
  const lines = [columns.map(c => c.title), ...rows]
  const widths = columns.map((_, i) => Math.max(...lines.map(line => letters(line[i] ?? ''))))
  let kept = columns.map((_, i) => i).filter(i => rows.some(row => (row[i] ?? '') !== ''))
  const total = () => kept.reduce((sum, i) => sum + (widths[i] ?? 0) + GAP, -GAP)
  while (total() > width) {
    const droppable = kept.filter(i => (columns[i]?.dropOrder ?? 0) > 0)
    if (droppable.length === 0) break
    const first = droppable.reduce((a, b) => (columns[b]!.dropOrder < columns[a]!.dropOrder ? b : a))
    kept = kept.filter(i => i !== first)
  }
  return lines.map(line =>
    kept
      .map(i => padded(line[i] ?? '', widths[i] ?? 0, columns[i]!.align))
      .join(' '.repeat(GAP))
      .trimEnd(),
  )
}

const letters = (text: string): number => Array.from(text).length

const padded = (text: string, width: number, align: 'left' | 'right'): string => {
  const space = ' '.repeat(Math.max(0, width - letters(text)))
  return align === 'left' ? text + space : space + text
}
