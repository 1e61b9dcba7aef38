import { fixed } from '../words/figures.js'
import type { AlbumSong } from './album.js'

type Told = Omit<AlbumSong, 'changes'>

/** A lag that differs by less is the same: a thousandth of a millisecond is a third of a millimetre of air. */
const SAME_MS = 0.001

/** What is otherwise than in the run before, a sentence each; empty where nothing is. */
export const changesSince = (before: Told, now: Told): readonly string[] => [
  ...stateChanges(before, now),
  ...(now.state === 'done' && before.state === 'done'
    ? [...takeChange(before, now), ...groupChanges(before, now), ...stemChanges(before, now)]
    : []),
]

const stateChanges = (before: Told, now: Told): readonly string[] => {
  if (before.state === now.state) return []
  return [now.state === 'done' ? 'is done now, and failed before' : 'failed, and was done before']
}

const takeChange = (before: Told, now: Told): readonly string[] =>
  before.take === now.take ? [] : [`take ${now.take ?? '(none)'} after take ${before.take ?? '(none)'}`]

const sourcesOf = ({ groups }: Told) =>
  new Map(groups.flatMap(({ name, sources }) => sources.map(source => [`${name}/${source.name}`, source])))

const groupChanges = (before: Told, now: Told): readonly string[] => {
  const former = sourcesOf(before)
  const present = sourcesOf(now)
  const gone = [...former.keys()].filter(key => !present.has(key)).map(key => `${key} is gone`)
  const others = [...present].flatMap(([key, source]) => {
    const old = former.get(key)
    if (old === undefined) return [`${key} is new`]
    const told: string[] = []
    if (old.verdict !== source.verdict) told.push(`${key} is ${source.verdict}, and was ${old.verdict}`)
    if (old.polarity !== source.polarity && source.polarity !== null && old.polarity !== null)
      told.push(`${key} is ${source.polarity}, and was ${old.polarity}`)
    const apart = source.lagMs === null || old.lagMs === null ? 0 : source.lagMs - old.lagMs
    if (Math.abs(apart) >= SAME_MS)
      told.push(`${key} arrives ${fixed(Math.abs(apart), 3)} ms ${apart > 0 ? 'later' : 'earlier'}`)
    return told
  })
  return [...others, ...gone]
}

const stemChanges = (before: Told, now: Told): readonly string[] => {
  const former = new Map(before.stems.map(stem => [stem.name, stem.sha256]))
  const names = new Set(now.stems.map(({ name }) => name))
  const made = now.stems.filter(({ name }) => !former.has(name)).map(({ name }) => `stem ${name} is new`)
  const gone = [...former.keys()]
    .filter(name => !names.has(name))
    .map(name => `stem ${name} is no longer made`)
  const other = now.stems.filter(({ name, sha256 }) => former.has(name) && former.get(name) !== sha256)
  const several = other.length > 1 ? `${other.length} stems have` : `stem ${other[0]?.name ?? ''} has`
  return [...(other.length === 0 ? [] : [`${several} other bytes`]), ...made, ...gone]
}
