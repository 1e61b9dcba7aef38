import type { Via } from '../../recipe/session.js'

/** What the name of a file seems to say. A name may say nothing: then the sound alone decides. */
export interface NameHints {
  /** The words of the name without its ending, take and track numbers: lower case. */
  readonly words: readonly string[]
  /** The path that a word names; null where none does. */
  readonly via: Via | null
  /** Words that are left without those that name a path or a place of a microphone: the instrument. */
  readonly instrument: readonly string[]
}

/** Words of the trade for paths. Common practice, no source. */
const VIAS: Readonly<Record<string, Via>> = {
  di: 'direct',
  direct: 'direct',
  line: 'direct',
  dry: 'direct',
  piezo: 'pickup',
  pickup: 'pickup',
  contact: 'pickup',
  bug: 'pickup',
  reamp: 'reamp',
  reamped: 'reamp',
  mic: 'mic',
  mike: 'mic',
  room: 'mic',
  amb: 'mic',
  ambience: 'mic',
  close: 'mic',
  cab: 'mic',
  amp: 'mic',
  ribbon: 'mic',
  condenser: 'mic',
  dynamic: 'mic',
  overhead: 'mic',
  overheads: 'mic',
  oh: 'mic',
  far: 'mic',
  edge: 'mic',
}

/** Places and kinds that tell the tracks of one instrument apart, and do not name the path. */
const PLACES = new Set([
  ...Object.keys(VIAS),
  ...[
    'top',
    'bottom',
    'btm',
    'bot',
    'in',
    'inside',
    'out',
    'outside',
    'front',
    'back',
    'rear',
    'side',
    'mid',
  ],
  ...[
    'left',
    'right',
    'l',
    'r',
    'up',
    'low',
    'high',
    'near',
    'hole',
    'body',
    'upper',
    'bridge',
    'neck',
    'lower',
    'center',
    'centre',
  ],
])

/** Words that say nothing about what was recorded. */
const EMPTY = new Set([
  ...[
    'audio',
    'track',
    'trk',
    'tr',
    'ch',
    'chan',
    'channel',
    'in',
    'input',
    'rec',
    'recording',
    'file',
    'wav',
    'take',
  ],
  ...['tk', 't', 'mono', 'stereo', 'bounce', 'copy', 'new', 'final', 'untitled', 'session', 'mix'],
])

/** `Bass-DI_03` → bass, di; `snareTop` → snare, top. Numbers alone and words that say nothing are left out. */
export const nameHints = (stem: string): NameHints => {
  const words = stem
    .replace(/(\p{Ll})(\p{Lu})/gu, '$1 $2')
    .replace(/(\p{L})(\p{N})/gu, '$1 $2')
    .replace(/(\p{N})(\p{L})/gu, '$1 $2')
    .toLowerCase()
    .split(/[^\p{L}\p{M}]+/u)
    .filter(word => word !== '')
  const told = words.filter(word => !EMPTY.has(word) || (word === 'in' && words.length > 1))
  const via = told.map(word => VIAS[word]).find(found => found !== undefined) ?? null
  return { words: told, via, instrument: told.filter(word => !PLACES.has(word)) }
}

/** Words that all of several names begin with, none where they have none in common. */
export const commonWords = (names: readonly (readonly string[])[]): readonly string[] => {
  const [first = [], ...rest] = names
  return first.filter(word => rest.every(words => words.includes(word)))
}
