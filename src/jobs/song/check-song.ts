import type { SourceScan } from '../../measure/scan/source-scan.js'
import { type FileSource, filesOf, type Session } from '../../recipe/session.js'
import type { Warning } from '../../terms/warning.js'
import type { SongPool } from '../open-pool.js'
import type { Progress } from '../progress.js'
import { allOrFaults } from './all-or-faults.js'
import { audioSecondsOf, fileWarnings, recordingsOf } from './recordings.js'

/** What `check --json` says of one song (schemas/check.schema.json). Every field is always there, null where it has no value. */
export interface CheckedSong {
  readonly recipe: string
  readonly song: string
  readonly take: string | null
  readonly groups: readonly CheckedGroup[]
  /** How many files were read: those of pieces each, one that serves in several places once. */
  readonly files: number
  readonly warnings: readonly Warning[]
}

export interface CheckedGroup {
  readonly name: string
  readonly reference: string
  readonly sampleRateHz: number
  readonly sources: readonly CheckedSource[]
}

/** A source that is a file, with the health of the channels that the recipe picks from it. Groups that are sources are left out. */
export interface CheckedSource {
  readonly name: string
  readonly file: string
  readonly sha256: string
  readonly channels: number
  readonly frames: number
  readonly bitDepth: number
  readonly sampleFormat: 'int' | 'float'
  readonly stampSamples: number | null
  readonly silent: boolean
  readonly loudnessLufs: number | null
  readonly rmsDbfs: number | null
  readonly samplePeakDbfs: number | null
  readonly truePeakDbtp: number | null
  readonly dcOffset: number
  readonly clippedRuns: number
  readonly droppedStretches: number
  readonly hum: SourceScan['hum']
}

/**
 * Health of every recording of a song, each by itself. Reads every file once; writes nothing.
 * @throws SumwellError with what made a file unreadable; INTERRUPTED
 */
export const checkSong = async (
  session: Session,
  pool: SongPool,
  progress: Progress,
): Promise<CheckedSong> => {
  progress.stage({ song: session.song, doing: 'checking', audioSeconds: audioSecondsOf(session) })
  const found = await allOrFaults(
    'checking the recordings',
    recordingsOf(session).map(async ({ group, source }) => {
      const scan = await pool.rooms.measure.scanSource({ file: source.file, selection: source.selection })
      const warnings = scan.warnings.map(w => ({ ...w, group: group.name, source: source.name }))
      return { group, checked: checkedSource(source, scan), warnings }
    }),
  )
  return {
    recipe: session.recipeShown,
    song: session.song,
    take: session.take,
    groups: session.groups.map(group => ({
      name: group.name,
      reference: group.reference,
      sampleRateHz: group.sampleRateHz,
      sources: found.filter(one => one.group === group).map(({ checked }) => checked),
    })),
    files: new Set(recordingsOf(session).flatMap(({ source }) => filesOf(source))).size,
    warnings: [...fileWarnings(session), ...found.flatMap(({ warnings }) => warnings)],
  }
}

const checkedSource = (source: FileSource, scan: SourceScan): CheckedSource => ({
  name: source.name,
  file: source.fileShown,
  sha256: scan.sha256,
  channels: scan.channels,
  frames: scan.frames,
  bitDepth: source.facts.bitDepth,
  sampleFormat: source.facts.sampleFormat,
  stampSamples: source.facts.stampSamples,
  silent: scan.silent,
  loudnessLufs: scan.loudnessLufs,
  rmsDbfs: scan.rmsDbfs,
  samplePeakDbfs: scan.samplePeakDbfs,
  truePeakDbtp: scan.truePeakDbtp,
  dcOffset: scan.dcOffset,
  clippedRuns: scan.clippedRuns,
  droppedStretches: scan.droppedStretches,
  hum: scan.hum,
})
