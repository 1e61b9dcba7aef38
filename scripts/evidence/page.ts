import type { Claim, Row } from './claim.js'
import { type Figures, figureText } from './figures.js'

const HEAD =
  '| compared | how many | furthest off | allowed | against | shown by |\n| --- | --- | --- | --- | --- | --- |'

const rowText = (row: Row, figures: Figures): string => {
  const values = figures.get(row.about)
  if (values === undefined) throw new Error(`no test noted "${row.about}" (${row.test})`)
  const cells = [
    row.what,
    String(values.length),
    figureText(row, values),
    row.allowed,
    row.source,
    `\`${row.test}\``,
  ]
  return `| ${cells.map(cell => cell.replaceAll('|', '\\|')).join(' | ')} |`
}

/** One claim with its table. */
export const sectionText = ({ name, title, said, rows }: Claim, figures: Figures): string =>
  [
    `<a id="${name}"></a>`,
    '',
    `## ${title}`,
    '',
    said,
    '',
    HEAD,
    ...rows.map(row => rowText(row, figures)),
  ].join('\n')

/** Claims that README marks and the page does not show, and the other way round. */
export const missingClaims = (readme: string, page: string, claims: readonly Claim[]): readonly string[] => {
  const marked = [...readme.matchAll(/<!-- evidence: ([a-z-]+) -->/g)].map(([, name]) => name!)
  const known = claims.map(({ name }) => name)
  return [
    ...marked.filter(name => !known.includes(name)).map(name => `README marks "${name}", which has no claim`),
    ...known.filter(name => !marked.includes(name)).map(name => `README does not mark the claim "${name}"`),
    ...claims.flatMap(({ name, rows }) => {
      const section = page.split(`<a id="${name}"></a>`)[1]?.split('<a id=')[0]
      if (section === undefined) return [`docs/evidence.md does not show "${name}": npm run evidence`]
      return rows
        .filter(({ what }) => !section.includes(`| ${what.replaceAll('|', '\\|')} |`))
        .map(({ about }) => `docs/evidence.md has no row "${about}": npm run evidence`)
    }),
  ]
}
