import { fixed, hertz, signed } from '../words/figures.js'
import type { ComparedBlend, ComparedLag, ComparedPiece, ComparedSource, Comparison } from './comparison.js'

/** A smaller change of level is none that a person would set a fader for. */
const TOLD_DB = 0.5
/** A change of one band against the whole that is told. */
const TOLD_BAND_DB = 1
const TOLD_EVENNESS_DB = 0.3

const than = (before: string | null): string => (before === null ? 'than before' : `than in ${before}`)

/** "bridge mic is 2.4 cm nearer than in take 4 (−3.4 frames, −0.071 ms); 1.2 dB louder". */
export const sourceWords = (source: Omit<ComparedSource, 'words'>, before: string | null): string => {
  const name = nameOf(source)
  if (source.presence === 'added') return `${name} is new`
  if (source.presence === 'removed') return `${name} is gone`
  const said = sourceNews(source, before)
  if (said.length === 0)
    return source.isReference ? `${name}, the reference, is as before` : `${name} is as before`
  return said[0]!.startsWith(name) ? said.join('; ') : `${name}: ${said.join('; ')}`
}

const nameOf = ({ name, via }: Omit<ComparedSource, 'words'>): string =>
  via === 'mic' && !/mic/i.test(name) ? `${name} mic` : name

/** What is not as before; of a source that both takes have. */
const sourceNews = (source: Omit<ComparedSource, 'words'>, before: string | null): readonly string[] => [
  ...lagWords(source, nameOf(source), before),
  ...polarityWords(source),
  ...verdictWords(source),
  ...levelWords(source.loudnessChangeDb),
  ...piecesNews(source, before),
]

/** Of each piece what is not as before, unless that was said of the whole source. */
const piecesNews = (
  { pieces = [], ...source }: Omit<ComparedSource, 'words'>,
  before: string | null,
): readonly string[] => {
  if (pieces.length < 2) return []
  const said = new Set([...polarityWords(source), ...verdictWords(source), ...lagWords(source, '', before)])
  return pieces.flatMap(piece => {
    const name = pieceName(piece, pieces)
    if (piece.presence === 'added') return [`${name} is new`]
    if (piece.presence === 'removed') return [`${name} is gone`]
    const compared = { ...piece, isReference: source.isReference, via: source.via }
    return [...lagWords(compared, '', before), ...polarityWords(piece), ...verdictWords(piece)]
      .filter(words => !said.has(words))
      .map(words => (words.startsWith(' ') ? `${name}${words}` : `${name}: ${words}`))
  })
}

const pieceName = ({ piece, referencePiece }: ComparedPiece, pieces: readonly ComparedPiece[]): string =>
  pieces.filter(other => other.piece === piece).length === 1
    ? `piece ${piece}`
    : `piece ${piece} beside piece ${referencePiece} of the reference`

const lagWords = (
  {
    isReference,
    lagChangeSamples,
    lagChangeMs,
    distanceChangeMetres,
    clear,
    via,
    lagNowSamples,
    lagBeforeSamples,
  }: ComparedLag & Pick<ComparedSource, 'isReference' | 'via'>,
  name: string,
  before: string | null,
): readonly string[] => {
  if (isReference) return []
  if (lagChangeSamples === null || lagChangeMs === null || distanceChangeMetres === null) {
    if (lagNowSamples === null && lagBeforeSamples !== null) return ['its lag is not known any more']
    return lagNowSamples !== null && lagBeforeSamples === null ? ['its lag is known now'] : []
  }
  const frames = `${signed(lagChangeSamples, 1)} frames, ${signed(lagChangeMs, 3)} ms`
  if (!clear) return []
  const cm = Math.abs(100 * distanceChangeMetres)
  if (via === 'mic' || via === 'reamp') {
    const way = distanceChangeMetres < 0 ? 'nearer' : 'farther'
    return [`${name} is ${fixed(cm, 1)} cm ${way} ${than(before)} (${frames})`]
  }
  const way = lagChangeSamples < 0 ? 'earlier' : 'later'
  return [`${name} arrives ${way} ${than(before)} (${frames}, ${fixed(cm, 1)} cm of air)`]
}

const polarityWords = ({ polarityBefore, polarityNow }: ComparedLag): readonly string[] =>
  polarityBefore === null || polarityNow === null || polarityBefore === polarityNow
    ? []
    : [`its polarity has flipped: ${polarityNow} now, ${polarityBefore} before`]

const verdictWords = ({ verdictBefore, verdictNow }: ComparedLag): readonly string[] =>
  verdictBefore === null || verdictNow === null || verdictBefore === verdictNow
    ? []
    : [`${verdictNow} now, ${verdictBefore} before`]

const levelWords = (changeDb: number | null): readonly string[] =>
  changeDb === null || Math.abs(changeDb) < TOLD_DB
    ? []
    : [`${fixed(Math.abs(changeDb), 1)} dB ${changeDb > 0 ? 'louder' : 'quieter'}`]

/** "0.8 dB louder; low end +1.6 dB; evenness 0.8 → 1.4 dB". */
export const blendWords = (blend: Omit<ComparedBlend, 'words'>): string => {
  if (blend.presence === 'added') return 'is new'
  if (blend.presence === 'removed') return 'is gone'
  const said = blendNews(blend)
  return said.length === 0 ? 'sounds as before, by these figures' : said.join('; ')
}

const blendNews = (blend: Omit<ComparedBlend, 'words'>): readonly string[] => {
  const { evennessBeforeDb, evennessNowDb, firstNotchBeforeHz, firstNotchNowHz, bands } = blend
  const evenness =
    evennessBeforeDb === null ||
    evennessNowDb === null ||
    Math.abs(evennessNowDb - evennessBeforeDb) < TOLD_EVENNESS_DB
      ? []
      : [`evenness ${fixed(evennessBeforeDb, 1)} → ${fixed(evennessNowDb, 1)} dB`]
  return [
    ...levelWords(blend.loudnessChangeDb),
    ...bands
      .filter(({ changeDb }) => Math.abs(changeDb) >= TOLD_BAND_DB)
      .map(({ name, changeDb }) => `${name} ${signed(changeDb, 1)} dB`),
    ...evenness,
    ...notchWords(firstNotchBeforeHz, firstNotchNowHz),
  ]
}

const notchWords = (before: number | null, now: number | null): readonly string[] => {
  if (before === null && now === null) return []
  if (now === null) return [`first notch ${hertz(before!)} gone`]
  if (before === null) return [`first notch ${hertz(now)} is new`]
  return hertz(before) === hertz(now) ? [] : [`first notch ${hertz(before)} → ${hertz(now)}`]
}

/** "Since take 4", or "Since the delivery before". */
export const comparedTitle = ({ before, now }: Comparison): string =>
  `${now === null ? 'Now' : now.charAt(0).toUpperCase() + now.slice(1)} against ${before ?? 'the one before'}`

/** What there is to say of each group, in the order in which a person needs it; what is as before is not told one by one. */
export const sayings = (
  comparison: Comparison,
): readonly { readonly group: string; readonly about: readonly string[] }[] =>
  comparison.groups.map(({ name, reference, formerReference, sources }) => {
    const about = [
      ...(formerReference === null
        ? []
        : [`the reference is ${reference} now, it was ${formerReference}: lags do not compare`]),
      ...sources
        .filter(source => source.presence !== 'both' || sourceNews(source, comparison.before).length > 0)
        .map(({ words }) => words),
      ...comparison.blends
        .filter(blend => blend.group === name && (blend.presence !== 'both' || blendNews(blend).length > 0))
        .map(blend => `blend ${blend.name}: ${blend.words}`),
    ]
    return { group: name, about: about.length === 0 ? ['as before'] : about }
  })
