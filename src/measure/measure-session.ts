import type { FileSource, Session, SessionGroup } from '../recipe/session.js'
import { madeAnew, type Recall } from '../terms/recall.js'
import type { Pooled } from '../terms/task.js'
import type { Warning } from '../terms/warning.js'
import type { GroupMeasurement, PieceMeasurement, SongMeasurement } from './measurement.js'
import { MEASURE_METHOD } from './method.js'
import { measureInPieces } from './pieces/measure-in-pieces.js'
import { isInPieces } from './pieces/piece-tracks.js'
import { measureGroup } from './session/measure-group.js'
import { filesToScan, type SessionTrack, scanKey, tracksOf } from './session/session-source.js'
import type { measureTasks } from './tasks.js'

/**
 * Measures all groups of a session: health of every file, then lag, polarity and verdict of every source against the reference
 * of its group. Deterministic: the same files and recipe give the same numbers, whatever runs the tasks.
 * @param recall Where groups that were measured before are remembered.
 * @throws SumwellError from reading the files; INTERRUPTED
 */
export const measureSession = async (
  session: Session,
  tasks: Pooled<typeof measureTasks>,
  recall: Recall = madeAnew,
): Promise<SongMeasurement> => {
  const files = filesToScan(session)
  const scanned = await Promise.all(files.map(({ file, selection }) => tasks.scanSource({ file, selection })))
  const scans = new Map(files.map((file, i) => [scanKey(file), scanned[i]!]))
  const groups: GroupMeasurement[] = []
  const warnings: Warning[] = []
  for (const group of session.groups) {
    const tracks = tracksOf(session, group, scans)
    for (const track of tracks) {
      if (track.fromGroup !== null) continue
      warnings.push(...track.scan.warnings.map(w => ({ ...w, group: group.name, source: track.source.name })))
    }
    const measured = await recall('measure group', askedOf(session, group), () =>
      (tracks.some(isInPieces) ? measureInPieces : measureGroup)(session, group, tracks, tasks),
    )
    groups.push(withFiles(measured.group, tracks))
    warnings.push(...measured.warnings)
  }
  return { recipe: session.recipeShown, song: session.song, take: session.take, groups, warnings }
}

/**
 * Everything that the measuring of a group goes by, but for the sound itself: how blends are made of it, how files are called and what
 * their metadata say beside the time stamp make no difference.
 */
const askedOf = (session: Session, group: SessionGroup): unknown => ({
  method: MEASURE_METHOD,
  temperatureCelsius: session.temperatureCelsius,
  groups: [group, ...groupsInside(session, group)].map(
    ({ name, reference, sampleRateHz, sources, align }) => ({
      name,
      reference,
      sampleRateHz,
      align: { searchSeconds: align.searchSeconds, passage: align.passage, slate: align.slate },
      sources: sources.map(source => ({
        ...source,
        nudgeSamples: null,
        fileShown: null,
        pieces: null,
        slate: source.kind === 'file' && source.slate !== null ? { ...source.slate, fileShown: null } : null,
      })),
    }),
  ),
})

const groupsInside = (session: Session, group: SessionGroup): readonly SessionGroup[] =>
  group.sources.flatMap(source => {
    const inner =
      source.kind === 'group' ? session.groups.find(({ name }) => name === source.group) : undefined
    return inner === undefined ? [] : [inner, ...groupsInside(session, inner)]
  })

/** The files as they are called now: what is remembered may have been measured under other names. */
const withFiles = (group: GroupMeasurement, tracks: readonly SessionTrack[]): GroupMeasurement => ({
  ...group,
  sources: group.sources.map((source, i) => {
    const { file, scan, fromGroup } = tracks[i]!
    const named = source.pieces === undefined ? source : { ...source, pieces: withNames(source.pieces, file) }
    return fromGroup === null ? { ...named, file: file.fileShown, sha256: scan.sha256 } : named
  }),
})

const withNames = (pieces: readonly PieceMeasurement[], file: FileSource): readonly PieceMeasurement[] =>
  pieces.map(one => ({ ...one, file: file.pieces?.[one.piece - 1]?.fileShown ?? file.fileShown }))
