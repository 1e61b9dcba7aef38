import { existsSync } from 'node:fs'
import path from 'node:path'
import { readReport } from '../../report/read-report.js'
import type { Report, ReportGroup, ReportPiece } from '../../report/report.js'
import { fault, SumwellError } from '../../terms/fault.js'
import { isFolder } from '../../terms/plain-file.js'
import { readLock } from '../file/read-lock.js'
import type { GroupBefore, LagBefore, PieceBefore, TakeBefore } from '../lock.js'
import { blendSound } from '../use/blend-sound.js'
import { takeOf } from './take-before.js'

/** A delivery or a lock as a comparison sees it. */
export interface ReadTake {
  readonly path: string
  readonly song: string
  readonly take: TakeBefore
}

/**
 * Reads what a render left: a folder of delivery, its report.json, or a lock.
 * @throws SumwellError REPORT_UNREADABLE, LOCK_UNREADABLE
 */
export const readTake = (given: string): ReadTake => {
  const folder = isFolder(given)
  if (!folder && !existsSync(given)) {
    throw new SumwellError(
      fault('REPORT_UNREADABLE', 'there is no such folder or file', {
        file: given,
        expected: 'a folder of delivery, or a lock',
        mend: 'check the path',
      }),
    )
  }
  if (!folder && /\.ya?ml$/i.test(given)) {
    const lock = readLock(given, given)
    return { path: given, song: lock.song, take: takeOf(lock) }
  }
  const report = readReport(folder ? path.join(given, 'report.json') : given)
  return { path: given, song: report.song, take: takeOfReport(report) }
}

const takeOfReport = (report: Report): TakeBefore => ({
  take: report.take,
  temperatureCelsius: report.temperatureCelsius,
  groups: Object.fromEntries(report.groups.map(group => [group.name, groupOf(group)] as const)),
  blends: Object.fromEntries(
    report.groups.flatMap(group =>
      group.blends.flatMap(({ name, stem, tone }) => {
        if (tone === null) return []
        const loudness = report.stems.find(({ file }) => file === stem)?.loudnessLufs ?? null
        return [[`${group.name}/${name}`, { group: group.name, ...blendSound(tone, loudness) }] as const]
      }),
    ),
  ),
})

/** A report does not hold the checksum of the sound alone: whether a recording is another one is not known from it. */
const groupOf = ({ reference, sampleRateHz, sources }: ReportGroup): GroupBefore => ({
  reference,
  sampleRateHz,
  sources: Object.fromEntries(
    sources.map(({ name, via, measured, health, pieces }) => [
      name,
      {
        via,
        audioSha256: null,
        ...lagOf(measured),
        loudnessLufs: health.loudnessLufs,
        ...(pieces === undefined ? {} : { pieces: pieces.map(pieceOf) }),
      },
    ]),
  ),
})

const pieceOf = (told: ReportPiece): PieceBefore => ({
  piece: told.piece,
  referencePiece: told.referencePiece,
  ...lagOf(told),
})

/** Of what was measured, of a source or of one piece, that by which it is compared. */
const lagOf = (told: LagBefore): LagBefore => ({
  lagSamples: told.lagSamples,
  lagUncertaintySamples: told.lagUncertaintySamples,
  polarity: told.polarity,
  verdict: told.verdict,
})
