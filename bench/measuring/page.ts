import { readFileSync, writeFileSync } from 'node:fs'

/*
 * Tables of docs/measuring.md that benches write. Each stands between `<!-- measured: NAME -->` and `<!-- end -->`, its head written by
 * hand; a bench puts its rows in and leaves all else alone, so that every part can be measured again by itself.
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

export const writeRows = (name: string, keyCells: number, rows: readonly (readonly string[])[]): void => {
  writeFileSync(PAGE, withRows(readFileSync(PAGE, 'utf8'), name, keyCells, rows))
}
