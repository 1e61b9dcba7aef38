import type { CheckedGroup, CheckedSong, CheckedSource } from '../jobs/song/check-song.js'
import { inkOf } from '../report/terminal/ink.js'
import { clock, counted, fixed, orDash } from '../report/words/figures.js'
import { visibleText } from '../terms/visible-text.js'
import type { WarningCode } from '../terms/warning.js'
import { type Column, tableLines } from './table.js'
import type { Page } from './tell.js'

const COLUMNS: readonly Column[] = [
  { title: 'source', align: 'left', dropOrder: 0 },
  { title: 'file', align: 'left', dropOrder: 1 },
  { title: 'ch', align: 'right', dropOrder: 3 },
  { title: 'bits', align: 'right', dropOrder: 2 },
  { title: 'length', align: 'right', dropOrder: 0 },
  { title: 'LUFS', align: 'right', dropOrder: 4 },
  { title: 'dBTP', align: 'right', dropOrder: 0 },
  { title: 'look at', align: 'left', dropOrder: 0 },
]

/** What each recording is, group by group in the same columns, and what is wrong with it. Ends with a line end. */
export const checkText = (song: CheckedSong, { width, colour }: Page): string => {
  const ink = inkOf(colour)
  const take = song.take === null ? '' : `, take ${song.take}`
  const rows = song.groups.map(group => group.sources.map(source => row(source, group, song)))
  const [titles = '', ...lines] = tableLines(COLUMNS, rows.flat(), width - 2).map(line => `  ${line}`)
  const groups = song.groups.map((group, i) => {
    const before = rows.slice(0, i).flat().length
    return ['', ink.strong(headOf(group)), titles, ...lines.slice(before, before + rows[i]!.length)]
  })
  const suspect = rows.flat().filter(cells => cells.at(-1) !== '').length
  const verdict = suspect === 0 ? 'nothing to look at' : `${counted(suspect, 'source')} to look at`
  return [
    ink.strong(visibleText(`${song.song}${take}`)),
    ...groups.flat(),
    '',
    `The recipe is sound. ${readWords(lines.length, song.files)} read: ${verdict}.`,
    '',
  ].join('\n')
}

/** Where several files are laid into one track, or one serves for several, both numbers. */
const readWords = (sources: number, files: number): string =>
  sources === files
    ? counted(files, 'recording')
    : `${counted(sources, 'source')} in ${counted(files, 'file')}`

const headOf = ({ name, sampleRateHz, reference }: CheckedGroup): string =>
  visibleText(`${name}, ${Number((sampleRateHz / 1000).toFixed(3))} kHz, reference ${reference}`)

const row = (source: CheckedSource, group: CheckedGroup, song: CheckedSong): readonly string[] =>
  [
    source.name,
    source.file,
    String(source.channels),
    `${source.bitDepth}${source.sampleFormat === 'float' ? 'f' : ''}`,
    clock(source.frames / group.sampleRateHz),
    orDash(source.loudnessLufs, lufs => fixed(lufs, 1)),
    orDash(source.truePeakDbtp, dbtp => fixed(dbtp, 1)),
    remarks(source, group, song).join(', '),
  ].map(visibleText)

/** A few letters for each warning about this source, which says it in sentences. */
const remarks = (source: CheckedSource, group: CheckedGroup, song: CheckedSong): readonly string[] =>
  song.warnings
    .filter(warning => warning.group === group.name && warning.source === source.name)
    .map(({ code }) => briefly(code, source))

const briefly = (code: WarningCode, source: CheckedSource): string => {
  const brief: Partial<Record<WarningCode, string>> = {
    SILENT: 'silent',
    CLIPPED: `clipped ${source.clippedRuns}×`,
    DC_OFFSET: 'DC offset',
    HUM: source.hum === null ? 'hum' : `hum ${source.hum.frequencyHz} Hz`,
    DROPPED_SAMPLES: `lost samples ${source.droppedStretches}×`,
    WAVE_TRUNCATED: 'cut short',
    WAVE_UNFINISHED: 'never closed',
    WAVE_METADATA: 'metadata',
  }
  return brief[code] ?? code.toLowerCase().replaceAll('_', ' ')
}
