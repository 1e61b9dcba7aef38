import type { FileSource, Session, SessionGroup, SessionSource } from '../../recipe/session.js'
import type { SourceScan } from '../scan/source-scan.js'

/** A source of a group with the file that stands for it: its own, or the reference's of the group that it is. */
export interface SessionTrack {
  readonly source: SessionSource
  readonly file: FileSource
  readonly fromGroup: string | null
  readonly scan: SourceScan
}

/** The file that stands for a source: groups within groups are followed to the reference of the innermost. */
export const fileOf = (session: Session, source: SessionSource): FileSource => {
  if (source.kind === 'file') return source
  const group = session.groups.find(g => g.name === source.group)!
  return fileOf(session, group.sources.find(s => s.name === group.reference)!)
}

/** Names a file and the channels that are taken of it: what is scanned once. */
export const scanKey = (file: FileSource): string => `${file.file}\n${JSON.stringify(file.selection)}`

/** Every file of the session once per way in which its channels are taken, in the order of the recipe. */
export const filesToScan = (session: Session): FileSource[] => {
  const found = new Map<string, FileSource>()
  for (const group of session.groups) {
    for (const source of group.sources) {
      if (source.kind === 'file' && !found.has(scanKey(source))) found.set(scanKey(source), source)
    }
  }
  return [...found.values()]
}

/** The sources of a group in the order of the recipe, each with the file that stands for it and its scan. */
export const tracksOf = (
  session: Session,
  group: SessionGroup,
  scans: ReadonlyMap<string, SourceScan>,
): SessionTrack[] =>
  group.sources.map(source => {
    const file = fileOf(session, source)
    return {
      source,
      file,
      fromGroup: source.kind === 'group' ? source.group : null,
      scan: scans.get(scanKey(file))!,
    }
  })

/**
 * Start of a track's file minus that of the reference's by their time stamps, frames; 0 where either has no stamp.
 */
export const stampOffset = (track: SessionTrack, reference: SessionTrack): number => {
  const own = track.file.facts.stampSamples
  const other = reference.file.facts.stampSamples
  return own === null || other === null ? 0 : own - other
}
