import { readFileSync, writeFileSync } from 'node:fs'

/*
 * Tables of docs/measuring.md that benches write. Each stands between `<!-- measured: NAME -->` and `<!-- end -->`. A bench puts in its whole
 * table, or its rows under a head written by hand, and leaves all else alone: every part can be measured again by itself.
 */

const PAGE = 'docs/measuring.md'

const cellsOf = (line: string): string[] =>
  line
    .replace(/^\|\s*|\s*\|\s*$/g, '')
    .split('|')
    .map(cell => cell.trim())

/** The page with rows put in place of those with the same first `keyCells` cells, new ones at the end of the table. */
export const withRows = (
  page: string,
  name: string,
  keyCells: number,
  rows: readonly (readonly string[])[],
): string => {
  const start = page.indexOf(`<!-- measured: ${name} -->`)
  const end = page.indexOf('<!-- end -->', start)
  if (start < 0 || end < 0) throw new Error(`${PAGE} has no table "${name}"`)
  const lines = page.slice(start, end).trimEnd().split('\n')
  for (const row of rows) {
    const text = `| ${row.join(' | ')} |`
    const key = row.slice(0, keyCells).join('|')
    const at = lines.findIndex(
      line => line.startsWith('|') && cellsOf(line).slice(0, keyCells).join('|') === key,
    )
    if (at < 0) lines.push(text)
    else lines[at] = text
  }
  return `${page.slice(0, start)}${lines.join('\n')}\n\n${page.slice(end)}`
}

/** The page with everything between a table's marks put in place of what was there; unchanged where it has no such marks. */
export const withTable = (page: string, name: string, table: string): string => {
  const mark = `<!-- measured: ${name} -->`
  const start = page.indexOf(mark)
  const end = page.indexOf('<!-- end -->', start)
  if (start < 0 || end < 0) return page
  return `${page.slice(0, start + mark.length)}\n\n${table.trim()}\n\n${page.slice(end)}`
}

/** Puts the table of a bench into the page, if it has a place there. */
export const writeTable = (name: string, table: string): void => {
  const page = readFileSync(PAGE, 'utf8')
  const after = withTable(page, name, table)
  if (after !== page) writeFileSync(PAGE, after)
}

export const writeRows = (name: string, keyCells: number, rows: readonly (readonly string[])[]): void => {
  writeFileSync(PAGE, withRows(readFileSync(PAGE, 'utf8'), name, keyCells, rows))
}
