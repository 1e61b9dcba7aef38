import { measureSession } from '../measure/measure-session.js'
import type { measureTasks } from '../measure/tasks.js'
import type { FileSource, Session, SessionGroup } from '../recipe/session.js'
import type { Report, ReportGroup, ReportSource, ReportStem, ResidualLag } from '../report/report.js'
import type { Pooled } from '../terms/task.js'
import { probeWave } from '../wave/probe.js'
import type { Difference } from './verified.js'

/** Frames by which a residual lag may differ from what was meant before it is a difference, beside three times its uncertainty. */
const TOLERANCE_SAMPLES = 0.05

/** A lag that is left and was not meant. */
export interface LagDifference extends Difference {
  readonly group: string
  readonly source: string
}

/**
 * Measures the single stems of every group as if they were recordings, with the whole method: what is left of each lag. Groups of which the
 * reference or all others were not delivered by themselves have nothing to measure.
 * @throws SumwellError WAVE_…, INTERRUPTED
 */
export const residualLags = async (
  report: Report,
  fileOf: (stem: ReportStem) => string,
  tasks: Pooled<typeof measureTasks>,
): Promise<{ readonly lags: readonly ResidualLag[]; readonly differences: readonly LagDifference[] }> => {
  const groups = report.groups.flatMap(group => sessionGroup(report, group, fileOf))
  const measured = await measureSession(sessionOf(report, groups), tasks)
  const lags: ResidualLag[] = []
  const differences: LagDifference[] = []
  for (const { name, reference, sources } of measured.groups) {
    const told = report.groups.find(group => group.name === name)!
    const before = (source: string): ReportSource => told.sources.find(s => s.name === source)!
    for (const { name: source, lagSamples, lagUncertaintySamples, polarity, verdict } of sources) {
      if (source === reference) continue
      const meantSamples = meantLag(before(source), before(reference))
      lags.push({
        group: name,
        source,
        meantSamples,
        lagSamples,
        uncertaintySamples: lagUncertaintySamples,
        polarity,
        verdict,
      })
      if (verdict !== 'sure' || meantSamples === null || lagSamples === null) continue
      const uncertain = Math.max(
        lagUncertaintySamples ?? 0,
        ownLag(before(source)).lagUncertaintySamples ?? 0,
      )
      const allowed = TOLERANCE_SAMPLES + 3 * uncertain + spreadOfPieces(before(source))
      if (Math.abs(lagSamples - meantSamples) <= allowed) continue
      const file = stemOf(report, name, source)?.file ?? null
      const message = `measured again, it is ${frames(lagSamples)} late; ${frames(meantSamples)} were meant`
      differences.push({ file, message, group: name, source })
    }
  }
  return { lags, differences }
}

/** What the stem as a whole may differ by from its pieces, as a part of the spread over the octaves: other notes weigh them otherwise. */
const SPREAD_PART = 0.25

const spreadOfPieces = ({ pieces, measured }: ReportSource): number =>
  pieces === undefined ? 0 : SPREAD_PART * (measured.arrivalSpreadSamples ?? 0)

const frames = (samples: number): string => `${samples.toFixed(2)} frames`

/** What the delivery leaves between a source and the reference. With `follow` all but the nudge was taken out; null where no lag was known. */
const meantLag = (source: ReportSource, reference: ReportSource): number | null => {
  const { move, stated } = source
  if (move === null || reference.move === null) return null
  if (move.follow !== null) return stated.nudgeSamples
  const { lagSamples } = ownLag(source)
  return lagSamples === null ? null : lagSamples + move.shiftSamples - reference.move.shiftSamples
}

/** What was measured of this take alone: where takes were pooled, its stems are late by what it differs from the others. */
const ownLag = ({
  measured,
}: ReportSource): Pick<ReportSource['measured'], 'lagSamples' | 'lagUncertaintySamples'> =>
  measured.pooled?.takes.find(({ isThis }) => isThis) ?? measured

const stemOf = (report: Report, group: string, source: string): ReportStem | undefined =>
  report.stems.find(
    ({ kind, aligned, parts }) =>
      kind === 'source' && aligned && parts.length === 1 && parts[0]!.source === `${group}/${source}`,
  )

const sessionGroup = (
  report: Report,
  { name, reference, sampleRateHz, align, sources }: ReportGroup,
  fileOf: (stem: ReportStem) => string,
): readonly SessionGroup[] => {
  const delivered = sources.flatMap((source): readonly FileSource[] => {
    const stem = stemOf(report, name, source.name)
    return stem === undefined ? [] : [fileSource(source, stem, fileOf(stem))]
  })
  if (delivered.length < 2 || !delivered.some(source => source.name === reference)) return []
  const { aim, searchSeconds } = align
  return [
    {
      name,
      reference,
      sampleRateHz,
      sources: delivered,
      align: {
        aim,
        searchSeconds,
        passage: null,
        hold: 'reference',
        resolution: 'fraction',
        follow: 'nothing',
        slate: false,
      },
      setup: null,
      blends: [],
    },
  ]
}

const fileSource = ({ name, via }: ReportSource, stem: ReportStem, file: string): FileSource => ({
  kind: 'file',
  name,
  file,
  fileShown: stem.file,
  via,
  selection: { kind: 'all' },
  facts: probeWave(file).facts,
  slate: null,
  polarity: 'measured',
  lag: 'measured',
  nudgeSamples: 0,
  distanceMetres: null,
})

const sessionOf = (report: Report, groups: readonly SessionGroup[]): Session => ({
  recipeFile: report.recipe.file,
  recipeShown: report.recipe.file,
  song: report.song,
  take: report.take,
  tempoBpm: null,
  beatsInBar: 4,
  temperatureCelsius: report.temperatureCelsius,
  groups,
  deliver: {
    folder: '',
    depth: null,
    stems: 'all',
    ceilingDbtp: 0,
    nameTemplate: '{stem}',
    report: { listen: null, dated: false },
  },
})
