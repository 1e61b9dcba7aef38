import type { GroupMeasurement, SongMeasurement, SourceMeasurement } from '../measure/measurement.js'
import { type Ink, inkOf } from '../report/terminal/ink.js'
import { fixed, metres, milliseconds, NO_VALUE, orDash, signed } from '../report/words/figures.js'
import { pooledWords } from '../report/words/pooled-words.js'
import { wrapped } from '../terms/text-width.js'
import { visibleText } from '../terms/visible-text.js'
import { fullerChoice } from './fuller-choice.js'
import { pieceLines } from './piece-lines.js'
import { type Column, tableLines } from './table.js'
import type { Page } from './tell.js'

const COLUMNS: readonly Column[] = [
  { title: 'source', align: 'left', dropOrder: 0 },
  { title: 'arrives', align: 'left', dropOrder: 0 },
  { title: 'frames', align: 'right', dropOrder: 2 },
  { title: 'air', align: 'right', dropOrder: 1 },
  { title: 'polarity', align: 'left', dropOrder: 0 },
  { title: 'verdict', align: 'left', dropOrder: 0 },
]
const VERDICT = COLUMNS.length - 1

/**
 * One line per source: when it arrives against the reference of its group, which way round, how sure; below it the reason where it is
 * not sure, and what could be better at the next take. Ends with a line end.
 */
export const measureText = (song: SongMeasurement, { width, colour }: Page): string => {
  const ink = inkOf(colour)
  const take = song.take === null ? '' : `, take ${song.take}`
  const rows = song.groups.map(group => group.sources.map(source => rowOf(source, group)))
  const lines = tableLines(COLUMNS, rows.flat(), width - 2).slice(1)
  const groups = song.groups.map((group, i) => {
    const before = rows.slice(0, i).flat().length
    return [
      '',
      ink.strong(headOf(group)),
      ...group.sources.flatMap((source, n) => [
        `  ${inked(lines[before + n] ?? '', rows[i]?.[n]?.[VERDICT] ?? '', ink)}`,
        ...belowIf(source.reason, width),
        ...pieceLines(source, group).flatMap(line => belowIf(line, width)),
        ...belowIf(pooledWords(source.pooled), width),
        ...belowIf(fullerChoice(source), width),
        ...belowIf(source.advice && `next take: ${source.advice.text}`, width),
      ]),
    ]
  })
  return [ink.strong(visibleText(`${song.song}${take}`)), ...groups.flat(), ''].join('\n')
}

const headOf = ({ name, reference, closureSamples }: GroupMeasurement): string => {
  const closure = closureSamples === null ? '' : `; its pairs agree within ${fixed(closureSamples, 2)} frames`
  return visibleText(`${name}, against ${reference}${closure}`)
}

const rowOf = (source: SourceMeasurement, group: GroupMeasurement): readonly string[] => {
  const { name, lagMs, lagSamples, distanceMetres, polarity, verdict } = source
  if (name === group.reference) return [visibleText(name), 'reference', '', '', '', verdict]
  const spread = Math.max(source.lagUncertaintySamples ?? 0, source.arrivalSpreadSamples ?? 0)
  return [
    visibleText(name),
    orDash(lagMs, arrival),
    orDash(lagSamples, frames => `${signed(frames, 1)} ± ${fixed(spread, 1)} frames`),
    orDash(distanceMetres, metres),
    polarity ?? NO_VALUE,
    verdict,
  ]
}

const arrival = (ms: number): string => {
  if (Math.abs(ms) < 0.0005) return 'in time'
  return `${milliseconds(Math.abs(ms))} ${ms > 0 ? 'late' : 'early'}`
}

// The verdict is the last cell of its line.
const inked = (line: string, verdict: string, ink: Ink): string =>
  verdict === 'sure' ? line : `${line.slice(0, -verdict.length)}${ink.alert(verdict)}`

const belowIf = (text: string | null, width: number): readonly string[] =>
  text === null ? [] : wrapped(visibleText(text), width - 4).map(line => `    ${line}`)
