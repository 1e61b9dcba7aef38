import type { Report, ReportStem } from '../report.js'
import { clock, timeOfDay } from '../words/figures.js'
import { backWords, levelsOf, partMoves, wordOf } from '../words/part-moves.js'
import { edgeWords } from '../words/stem-words.js'
import { markdownTable, plainMarkdown, typedMarkdown } from './markdown.js'

const rows = (report: Report, stem: ReportStem): readonly (readonly string[])[] =>
  stem.parts.map(part => {
    const { source, weight, gain, polarity, ms, frames, beats } = partMoves(report, stem, part)
    return [plainMarkdown(source), plainMarkdown(weight), gain, polarity, ms, frames, beats]
  })

const back = (report: Report, stem: ReportStem): readonly string[] => {
  const words = backWords(report, stem)
  return words === null ? [] : ['', `Back to the sound as recorded: ${words}.`]
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
      ['source', 'weight', 'gain', 'polarity', 'shift, ms', 'frames', 'beats'],
      rows(report, stem),
    ),
    ...back(report, stem),
    ...edgeWords(stem).map(words => `\nAt the edge: ${plainMarkdown(words)}.`),
    '',
    `SHA-256: ${stem.sha256 ?? 'not written'}`,
    '',
  ]
}
