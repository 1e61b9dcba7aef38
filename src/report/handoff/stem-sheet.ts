import * as portable from '../../terms/portable.js'
import type { Report, ReportPart, ReportStem } from '../report.js'
import { clock, decibels, fixed, orDash, signed, timeOfDay } from '../words/figures.js'
import { edgeWords, sourceOfKey } from '../words/stem-words.js'
import { markdownTable, plainMarkdown, typedMarkdown } from './markdown.js'

/** A shift in beats at the song's tempo: "−0.012 beats"; empty where the recipe tells no tempo. */
const beatsOf = (report: Report, seconds: number): string =>
  report.tempoBpm === null ? '' : signed((seconds * report.tempoBpm) / 60, 4)

const partRow = (report: Report, stem: ReportStem, part: ReportPart): readonly string[] => {
  const shift = part.atSamples - part.recordedAtSamples
  const turned = Math.sign(part.gain) !== Math.sign(part.recordedGain)
  const gainDb = part.gain === 0 ? null : 20 * portable.log10(Math.abs(part.gain))
  return [
    plainMarkdown(sourceOfKey(part.source)),
    plainMarkdown(part.weightShown),
    orDash(gainDb, decibels),
    turned ? 'inverted' : 'as recorded',
    signed((shift * 1000) / stem.sampleRateHz, 3),
    signed(shift, 2),
    beatsOf(report, shift / stem.sampleRateHz),
  ]
}

const word = (stem: ReportStem): string =>
  `${stem.depth === '32f' ? '32 bit float' : `${stem.depth} bit`}, ${stem.sampleRateHz} Hz, ${
    stem.channels === 1 ? 'mono' : `${stem.channels} channels`
  }${stem.dither ? ', TPDF dither' : ''}`

/** One stem: what it is, what it is made of, every move, its levels and its checksum. */
export const stemSheet = (report: Report, stem: ReportStem): readonly string[] => [
  `## ${typedMarkdown(stem.file)}`,
  '',
  `${stem.kind === 'blend' ? 'Blend' : 'Single source'} of ${plainMarkdown(stem.group)}, ${
    stem.aligned ? 'aligned' : 'as recorded'
  }. ${word(stem)}. Length ${clock(stem.seconds, 3)} (${stem.frames} frames). Start ${
    stem.stampSamples === null
      ? 'at zero, no time stamp'
      : `${timeOfDay(stem.stampSamples, stem.sampleRateHz)} (frame ${stem.stampSamples})`
  }.`,
  '',
  `Sample peak ${orDash(stem.samplePeakDbfs, db => fixed(db, 1))} dBFS, true peak ${orDash(stem.truePeakDbtp, db => fixed(db, 1))} dBTP, loudness ${orDash(stem.loudnessLufs, db => fixed(db, 1))} LUFS.`,
  '',
  ...markdownTable(
    ['source', 'weight', 'gain', 'polarity', 'shift, ms', 'frames', 'beats'],
    stem.parts.map(part => partRow(report, stem, part)),
  ),
  ...edgeWords(stem).map(words => `\nAt the edge: ${plainMarkdown(words)}.`),
  '',
  `SHA-256: ${stem.sha256 ?? 'not written'}`,
  '',
]
