import { pieceWindows } from '../recipe/pieces/piece-windows.js'
import type { Session } from '../recipe/session.js'
import { clockText } from '../recipe/words/passage.js'
import type { Warning } from '../terms/warning.js'
import { partRuns } from './part-runs.js'
import type { Plan } from './plan.js'
import type { TurnDown } from './turn-down.js'
import { dbText, msText } from './words.js'

/** Sound above this is not cut off, nor does a file begin or end with it, without a word. dBFS. */
export const AUDIBLE_EDGE_DBFS = -60

/** HEAD_CUT: sound that a move pushes before the start of the stems, where it is lost. */
export const headCutWarnings = (plan: Plan, session: Session): readonly Warning[] =>
  plan.sources.flatMap(({ group, source, headCut, facts }): readonly Warning[] => {
    if (headCut === null || headCut.peakDbfs === null || headCut.peakDbfs <= AUDIBLE_EDGE_DBFS) return []
    const hold = session.groups.find(({ name }) => name === group)?.align.hold
    const cure =
      hold === 'latest'
        ? 'Files that carry a time stamp lose nothing: all stems then start earlier'
        : '`hold: latest` keeps it: nothing is pulled forward then'
    return [
      {
        code: 'HEAD_CUT',
        group,
        source,
        message:
          `The first ${msText(headCut.frames, facts.sampleRateHz)} of ${source} would come before the start of the stems and ` +
          `are cut off; they reach ${dbText(headCut.peakDbfs)}FS. ${cure}.`,
      },
    ]
  })

/** PIECES_TOUCH: pieces that only just met as recorded, and are torn apart by their moves. */
export const touchWarnings = (plan: Plan): readonly Warning[] =>
  plan.sources.flatMap((source): readonly Warning[] => {
    const { move, selection, facts, recordedAtSamples } = source
    if (move.pieces === undefined || selection.laid === undefined) return []
    const met = pieceWindows(selection.laid).filter(
      ({ endFrame }, i, all) => endFrame === all[i + 1]?.startFrame,
    )
    const runs = partRuns(source, move.pieces, move.polarity, recordedAtSamples)
    return runs.slice(1).flatMap((run, i): readonly Warning[] => {
      const before = runs[i]!
      const gap = run.startFrame - before.endFrame
      const joint = before.windows.at(-1)!.endFrame
      if (gap <= 0 || !met.some(({ endFrame }) => endFrame === joint)) return []
      return [
        {
          code: 'PIECES_TOUCH',
          group: source.group,
          source: source.source,
          message:
            `At ${clockText(joint / facts.sampleRateHz)} two pieces only just meet, and their moves leave ${msText(gap, facts.sampleRateHz)} ` +
            'of silence between them: both are faded there. Let one of the files reach a little further, or move `at:`.',
        },
      ]
    })
  })

/** Longer than the longest recording by this factor and a minute, and the stamps are more likely wrong than right. */
const FAR_SPREAD = 2

/** START_DIFFERS: time stamps of one song that lie so far apart that the stems would mostly be silence. */
export const spreadWarnings = (plan: Plan): readonly Warning[] => {
  const [stem] = plan.stems
  if (stem === undefined) return []
  const songSeconds = stem.frames / stem.sampleRateHz
  const longest = Math.max(0, ...plan.sources.map(({ facts }) => facts.frames / facts.sampleRateHz))
  if (songSeconds <= FAR_SPREAD * longest + 60) return []
  const startOf = ({ recordedAtSamples, facts }: Plan['sources'][number]): number =>
    recordedAtSamples / facts.sampleRateHz
  const ordered = [...plan.sources].sort((a, b) => startOf(a) - startOf(b))
  return [
    {
      code: 'START_DIFFERS',
      group: null,
      source: null,
      message:
        `By their time stamps the recordings of this song start up to ${minutesText(startOf(ordered.at(-1)!) - startOf(ordered[0]!))} apart ` +
        `(first ${ordered[0]!.key}, last ${ordered.at(-1)!.key}), and every stem is ${minutesText(songSeconds)} long. If it was not ` +
        'played so, correct the stamps, or export all files again from one start.',
    },
  ]
}

const minutesText = (seconds: number): string =>
  `${Math.floor(seconds / 60)} min ${Math.round(seconds % 60)} s`

/** CEILING and CLIPPED_STEM: what was turned down, and why. */
export const levelWarnings = (
  plan: Plan,
  { blendsDb, neededDb, loudest, sourcesDb }: TurnDown,
): readonly Warning[] => [
  ...(blendsDb > neededDb
    ? [
        {
          code: 'CEILING' as const,
          group: null,
          source: null,
          message:
            `All blends of the song are turned down by ${blendsDb.toFixed(1)} dB, as they were before; the ceiling of ${dbText(plan.ceilingDbtp)}TP ` +
            `would now ask for ${neededDb.toFixed(1)} dB. Their level stays until \`--remeasure\` asks for a new one.`,
        },
      ]
    : []),
  ...(blendsDb > 0 && blendsDb === neededDb && loudest !== null
    ? [
        {
          code: 'CEILING' as const,
          group: null,
          source: null,
          message:
            `All blends of the song were turned down by ${blendsDb.toFixed(1)} dB: ${loudest.name} would have reached ` +
            `${dbText(loudest.peakDbtp)}TP, the ceiling is ${dbText(plan.ceilingDbtp)}TP. Nothing was limited. ` +
            'Lower the gains of that blend, or raise `deliver.ceiling`, to keep the others where they were.',
        },
      ]
    : []),
  ...plan.stems.flatMap((stem): readonly Warning[] => {
    const db = sourcesDb.get(stem.fileName)
    if (db === undefined) return []
    return [
      {
        code: 'CLIPPED_STEM',
        group: stem.group,
        source: plan.sources.find(({ key }) => key === stem.parts[0]?.key)?.source ?? null,
        message:
          `${stem.name} goes above full scale and was turned down by ${db.toFixed(1)} dB to fit into ${stem.depth} bit. ` +
          '`depth: 32f` keeps its level.',
      },
    ]
  }),
]
