import type { Report, ReportStem } from '../report.js'
import { clock, timeOfDay } from '../words/figures.js'
import { backWords, levelsOf, partMoves, wordOf } from '../words/part-moves.js'
import { pieceLine } from '../words/piece-words.js'
import { edgeWords } from '../words/stem-words.js'
import { markdownTable, plainMarkdown, typedMarkdown } from './markdown.js'

const rows = (report: Report, stem: ReportStem): readonly (readonly string[])[] =>
  stem.parts.map(part => {
    const { source, weight, gain, polarity, ms, frames, beats } = partMoves(report, stem, part)
    const row = [plainMarkdown(source), plainMarkdown(weight), gain, polarity, ms, frames]
    return report.tempoBpm === null ? row : [...row, beats]
  })

const back = (report: Report, stem: ReportStem): readonly string[] => {
  const words = backWords(report, stem)
  return words === null ? [] : ['', `Back to the sound as recorded: ${words}.`]
}

/** A line for each piece of the parts that were laid from several. */
const pieces = (report: Report, stem: ReportStem): readonly string[] => {
  const lines = stem.parts.flatMap(({ source: key }) => {
    const [group, name] = key.split('/')
    const source = report.groups
      .find(one => one.name === group)
      ?.sources.find(one => one.name === name && one.pieces !== undefined)
    return source?.pieces?.map(piece => `* ${plainMarkdown(pieceLine(piece, source))}`) ?? []
  })
  return lines.length === 0
    ? []
    : ['', stem.aligned ? 'In pieces:' : 'In pieces, here as recorded:', '', ...lines]
}

/** One stem: what it is, what it is made of, every move, its levels, how to undo it, and its checksum. */
export const stemSheet = (report: Report, stem: ReportStem): readonly string[] => {
  const [peak, truePeak, loudness] = levelsOf(stem)
  return [
    `## ${typedMarkdown(stem.file)}`,
    '',
    `${stem.kind === 'blend' ? 'Blend' : 'Single source'} of ${plainMarkdown(stem.group)}, ${
      stem.aligned ? 'aligned' : 'as recorded'
    }. ${wordOf(stem)}. Length ${clock(stem.seconds, 3)} (${stem.frames} frames). Start ${
      stem.stampSamples === null
        ? 'at zero, no time stamp'
        : `${timeOfDay(stem.stampSamples, stem.sampleRateHz)} (frame ${stem.stampSamples})`
    }.`,
    '',
    `Sample peak ${peak} dBFS, true peak ${truePeak} dBTP, loudness ${loudness} LUFS.`,
    '',
    ...markdownTable(
      [
        ...['source', 'weight', 'gain', 'polarity', 'shift, ms', 'frames'],
        ...(report.tempoBpm === null ? [] : ['beats']),
      ],
      rows(report, stem),
    ),
    ...pieces(report, stem),
    ...back(report, stem),
    ...edgeWords(stem).map(words => `\nAt the edge: ${plainMarkdown(words)}.`),
    '',
    `SHA-256: ${stem.sha256 ?? 'not written'}`,
    '',
  ]
}
