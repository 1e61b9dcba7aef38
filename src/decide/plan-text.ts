import { timeOfDay } from '../terms/clock-text.js'
import { signed } from '../terms/figure-text.js'
import { msFromSamples } from '../terms/units.js'
import type { Plan, PlannedGroup, PlannedSource, PlannedStem, StemPart } from './plan.js'
import { type Column, tableLines, wrap } from './text-table.js'
import { dbText, msText } from './words.js'

const WIDTH = 100
const WHAT_IS_LEFT = Number.POSITIVE_INFINITY

const MOVES: readonly Column[] = [
  { title: 'source', align: 'left', widest: 26 },
  { title: 'frames', align: 'right', widest: 12 },
  { title: 'ms', align: 'right', widest: 10 },
  { title: 'polarity', align: 'left', widest: 8 },
  { title: 'because', align: 'left', widest: WHAT_IS_LEFT },
]

const STEMS: readonly Column[] = [
  { title: 'file', align: 'left', widest: 46 },
  { title: 'ch', align: 'right', widest: 2 },
  { title: 'bits', align: 'right', widest: 4 },
  { title: 'dither', align: 'left', widest: 6 },
  { title: 'made of', align: 'left', widest: WHAT_IS_LEFT },
]

/** The plan as a table for people: what is moved and why, what is delivered and of what. No line is longer than `width`, from 80 columns on. */
export const planText = (plan: Plan, width = WIDTH): string =>
  [
    ...wrap(
      `${plan.song}${plan.take === null ? '' : `, take ${plan.take}`}: ${plan.stems.length} stems in ${plan.folder}`,
      width,
    ),
    '',
    ...tableLines(MOVES, plan.sources.map(moveRow(plan)), width),
    ...plan.groups.flatMap(lateLines(width)),
    '',
    ...tableLines(STEMS, plan.stems.map(stemRow), width),
    ...startLines(plan),
    ...(plan.turnDownDb === 0
      ? []
      : [
          `All blends ${plan.turnDownDb.toFixed(1)} dB down for the ceiling of ${dbText(plan.ceilingDbtp)}TP.`,
        ]),
  ].join('\n')

const moveRow =
  (plan: Plan) =>
  ({ key, move, group, headCut, facts }: PlannedSource): readonly string[] => {
    const rate = plan.groups.find(({ name }) => name === group)?.sampleRateHz ?? facts.sampleRateHz
    const { shiftSamples } = move
    const decimals = Number.isInteger(shiftSamples) ? 0 : 2
    const cut =
      headCut === null
        ? ''
        : `; its first ${msText(headCut.frames, rate)} ${headCut.peakDbfs === null ? 'of silence' : `(up to ${dbText(headCut.peakDbfs)}FS)`} cut off at the start`
    return [
      key,
      signed(shiftSamples, decimals),
      signed(msFromSamples(shiftSamples, rate), 3),
      move.polarity,
      `${move.because}${cut}`,
    ]
  }

const lateLines =
  (width: number) =>
  ({ name, lateSamples, sampleRateHz }: PlannedGroup): readonly string[] =>
    lateSamples === 0
      ? []
      : wrap(
          `${name} as a whole now is ${msText(lateSamples, sampleRateHz)} late against the rest of the song.`,
          width,
        )

const stemRow = (stem: PlannedStem): readonly string[] => [
  stem.fileName,
  String(stem.channels),
  String(stem.depth),
  stem.dither ? 'TPDF' : 'none',
  `${stem.aligned ? '' : 'as recorded: '}${stem.parts.map(partText(stem)).join(', ')}`,
]

const partText =
  (stem: PlannedStem) =>
  (part: StemPart): string => {
    const [group, source] = part.key.split('/')
    const name = group === stem.group ? source : part.key
    if (stem.kind === 'source') return `${name}`
    const match = part.matchGainDb === 0 ? '' : ` (${dbText(part.matchGainDb)} to match)`
    return `${name} ${part.weightShown}${match}`
  }

const startLines = (plan: Plan): readonly string[] =>
  [...new Map(plan.stems.map(stem => [stem.sampleRateHz, stem])).values()].map(stem => {
    const seconds = (stem.frames / stem.sampleRateHz).toFixed(3)
    const stamp =
      stem.stampSamples === null
        ? 'no time stamp'
        : `time stamp ${timeOfDay(stem.stampSamples, stem.sampleRateHz)}`
    return `All stems: ${stem.frames} frames (${seconds} s at ${stem.sampleRateHz} Hz), ${stamp}.`
  })
