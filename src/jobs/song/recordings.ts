import { gapWarnings } from '../../recipe/pieces/gap-warnings.js'
import { type FileSource, filesOf, type Session, type SessionGroup } from '../../recipe/session.js'
import type { Warning } from '../../terms/warning.js'
import { probeWave } from '../../wave/probe.js'

export interface Recording {
  readonly group: SessionGroup
  readonly source: FileSource
}

/** Every source that is a file, in the order of the recipe. A group that is a source is left out: its files stand in its own group. */
export const recordingsOf = (session: Session): readonly Recording[] =>
  session.groups.flatMap(group =>
    group.sources.flatMap(source => (source.kind === 'file' ? [{ group, source }] : [])),
  )

/** Length of all recordings of a song together, seconds. */
export const audioSecondsOf = (session: Session): number =>
  recordingsOf(session).reduce((sum, { source: { facts } }) => sum + facts.frames / facts.sampleRateHz, 0)

/** What opening each file tells: cut short, never closed, metadata that cannot be read; and where pieces leave a gap. */
export const fileWarnings = (session: Session): readonly Warning[] => [
  ...recordingsOf(session).flatMap(({ group, source }) =>
    filesOf(source).flatMap(file =>
      probeWave(file).warnings.map(w => ({ ...w, group: group.name, source: source.name })),
    ),
  ),
  ...gapWarnings(session),
]
