import { dbFromGain } from '../../terms/units.js'
import type { Report, ReportPart, ReportStem } from '../report.js'
import { decibels, fixed, orDash, signed } from './figures.js'
import { sourceOfKey } from './stem-words.js'

/** What was done to one source in one stem, as people read it. */
export interface PartMoves {
  readonly source: string
  readonly weight: string
  readonly gain: string
  readonly polarity: 'inverted' | 'as recorded'
  readonly ms: string
  readonly frames: string
  /** Empty where the recipe tells no tempo. */
  readonly beats: string
  /** What undoes it: "move it +96.74 frames (+2.015 ms) and invert it"; null where nothing was moved or turned. */
  readonly back: string | null
}

const beatsOf = (report: Report, seconds: number): string =>
  report.tempoBpm === null ? '' : signed((seconds * report.tempoBpm) / 60, 4)

/** A shift that is none. */
const STILL_SAMPLES = 0.005

/** What was done to one part of a stem, in words and figures, and how to put it back. */
export const partMoves = (report: Report, stem: ReportStem, part: ReportPart): PartMoves => {
  const shift = part.atSamples - part.recordedAtSamples
  const turned = Math.sign(part.gain) !== Math.sign(part.recordedGain)
  const gainDb = part.gain === 0 ? null : dbFromGain(Math.abs(part.gain))
  const ms = (samples: number): string => signed((samples * 1000) / stem.sampleRateHz, 3)
  const steps = [
    Math.abs(shift) < STILL_SAMPLES ? null : `move it ${signed(-shift, 2)} frames (${ms(-shift)} ms)`,
    turned ? 'invert it' : null,
  ].filter(step => step !== null)
  return {
    source: sourceOfKey(part.source),
    weight: part.weightShown,
    gain: orDash(gainDb, decibels),
    polarity: turned ? 'inverted' : 'as recorded',
    ms: ms(shift),
    frames: signed(shift, 2),
    beats: beatsOf(report, shift / stem.sampleRateHz),
    back: steps.length === 0 ? null : steps.join(' and '),
  }
}

/** How a single aligned source is put back to the sound as recorded; null for blends, and where there is nothing to undo. */
export const backWords = (report: Report, stem: ReportStem): string | null => {
  const [part] = stem.parts
  if (stem.kind !== 'source' || part === undefined) return null
  const follows = report.groups
    .find(({ name }) => name === stem.group)
    ?.sources.some(({ name, move }) => name === sourceOfKey(part.source) && move?.follow != null)
  if (follows === true) return 'its shift changes through the take: take the recording itself'
  return partMoves(report, stem, part).back
}

/** "24 bit, 48000 Hz, mono, TPDF dither". */
export const wordOf = (stem: ReportStem): string =>
  `${stem.depth === '32f' ? '32 bit float' : `${stem.depth} bit`}, ${stem.sampleRateHz} Hz, ${
    stem.channels === 1 ? 'mono' : `${stem.channels} channels`
  }${stem.dither ? ', TPDF dither' : ''}`

/** Sample peak in dBFS, true peak in dBTP, loudness in LUFS; a dash where there is no value. */
export const levelsOf = (stem: ReportStem): readonly [peak: string, truePeak: string, loudness: string] => [
  orDash(stem.samplePeakDbfs, db => fixed(db, 1)),
  orDash(stem.truePeakDbtp, db => fixed(db, 1)),
  orDash(stem.loudnessLufs, db => fixed(db, 1)),
]
