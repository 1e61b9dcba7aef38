import { padded, textWidth, wrapped } from '../../terms/text-width.js'
import { visibleText } from '../../terms/visible-text.js'
import { rankOf } from '../build/warnings.js'
import type { Report, ReportGroup } from '../report.js'
import { toneWords } from '../words/blend-words.js'
import { counted, fixed, within } from '../words/figures.js'
import { pooledWords } from '../words/pooled-words.js'
import { lateClause } from '../words/source-words.js'
import { unbroken } from '../words/unbroken.js'
import { comparedLines } from './compared-lines.js'
import { type Ink, inkOf } from './ink.js'
import { sourceLines } from './source-lines.js'

export interface SummaryOptions {
  /** Width of the terminal; lines are kept within it where a word allows. 80 where it is not known. */
  readonly columns: number
  readonly colour: boolean
  /** Where the report and the stems lie, as it should be shown; null leaves the line out. */
  readonly reportShown: string | null
}

/** Lines of a width, none of which ends between a figure and its unit; plain spaces again in what comes back. */
const linesOf = (text: string, columns: number): readonly string[] =>
  wrapped(unbroken(text), columns).map(line => line.replaceAll('\u00A0', ' '))

/** A label and a text that may need several lines, the later ones under the first. */
const labelled = (label: string, text: string, columns: number, width: number): readonly string[] => {
  const lines = linesOf(visibleText(text), Math.max(20, columns - width - 4))
  return lines.map((line, i) => `  ${padded(i === 0 ? label : '', width)}  ${line}`)
}

const groupLines = (
  group: ReportGroup,
  sources: readonly string[],
  columns: number,
  ink: Ink,
): readonly string[] => {
  const blends = group.blends.filter(blend => blend.aligned)
  const width = Math.min(24, Math.max(0, ...blends.map(blend => textWidth(visibleText(blend.name)))))
  return [
    ink.strong(visibleText(group.name)),
    ...sources.flatMap((line, i) => [line, ...pooledLines(group, i, columns, ink)]),
    ...lateClause(group).flatMap(clause =>
      linesOf(clause, Math.max(20, columns - 2)).map(line => `  ${line}`),
    ),
    ...blends.flatMap(blend => labelled(visibleText(blend.name), toneWords(blend), columns, width)),
  ]
}

const pooledLines = ({ sources }: ReportGroup, i: number, columns: number, ink: Ink): readonly string[] => {
  const words = pooledWords(sources[i]?.measured.pooled ?? null)
  return words === null
    ? []
    : linesOf(visibleText(words), Math.max(20, columns - 4)).map(line => ink.quiet(`    ${line}`))
}

/** What was seen; what to do about it stands in the report. */
const firstSentence = (message: string): string =>
  /^.*?[.:](?= )/.exec(message)?.[0].replace(/:$/, '.') ?? message

const warningLines = (report: Report, columns: number, ink: Ink): readonly string[] =>
  report.warnings.flatMap(warning => {
    const where = [warning.group, warning.source].filter(name => name !== null).join('/')
    const said = rankOf(warning) === 0 ? warning.message : firstSentence(warning.message)
    const text = visibleText(where === '' ? said : `${where}: ${said}`)
    const lines = linesOf(text, Math.max(20, columns - 2))
    return lines.map((line, i) => {
      const shown = `${i === 0 ? '!' : ' '} ${line}`
      return rankOf(warning) === 0 ? ink.alert(shown) : shown
    })
  })

const deliveredLine = (report: Report): string => {
  const { turnDownDb } = report.delivery
  const turned = turnDownDb > 0 ? `, blends turned down ${fixed(turnDownDb, 1)} dB` : ''
  const judged = report.groups.flatMap(g => g.blends.flatMap(b => b.tone?.check?.worstDifferenceDb ?? []))
  const check = judged.length > 0 ? `; tone as predicted ${within(Math.max(...judged.map(Math.abs)))}` : ''
  const { neighbours } = report
  const together = neighbours?.losses.length === 0 ? '; the groups take nothing from each other' : ''
  return `${counted(report.stems.length, 'stem')}${turned}${check}${together}`
}

/**
 * What a render says at its end, drawn from the report alone: per source lag, air, polarity and verdict, per blend what changed in words,
 * what needs a person, where the report lies. Ends with a line break. Names cannot move the cursor or change colours.
 */
export const summaryText = (report: Report, options: SummaryOptions): string => {
  const { columns, colour, reportShown } = options
  const ink = inkOf(colour)
  const take = report.take === null ? '' : ink.quiet(`, take ${visibleText(report.take)}`)
  const sources = sourceLines(report.groups, columns, ink)
  return [
    `${ink.strong(visibleText(report.song))}${take}`,
    ...(report.compared === null ? [] : [...comparedLines(report.compared, columns, ink), '']),
    ...report.groups.flatMap((group, i) => groupLines(group, sources[i] ?? [], columns, ink)),
    ...warningLines(report, columns, ink),
    ...(report.warnings.some(warning => rankOf(warning) !== 0)
      ? [ink.quiet('  what to do about each stands in the report')]
      : []),
    ...linesOf(deliveredLine(report), columns),
    ...(reportShown === null ? [] : [visibleText(reportShown)]),
    '',
  ].join('\n')
}
