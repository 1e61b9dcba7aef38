import type { Warning, WarningCode } from '../../terms/warning.js'

/** Those on which somebody has to decide, listen or go and look before the stems are used. */
const NEEDS_A_PERSON: ReadonlySet<WarningCode> = new Set<WarningCode>([
  'NOT_SURE',
  'REFERENCE_POLARITY',
  'STATED_DIFFERS',
  'SLATE_NOT_FOUND',
  'SLATE_DIFFERS',
  'STAMP_CONTRADICTED',
  'COPY_OF_ANOTHER',
  'CHANNELS_SWAPPED',
  'SILENT',
  'FALLS_SILENT',
  'DEAD_CHANNEL',
  'RATE_LABEL',
  'LAG_LEFT',
  'HEAD_CUT',
  'STEP',
  'DRIFT',
  'ODD_TAKE',
  'TAKES_DISAGREE',
  'PIECES_GAP',
  'PIECES_TOUCH',
  'PIECE_LIKE_NEIGHBOUR',
  'PREDICTION_DIFFERS',
  'NEIGHBOUR_LOSS',
  'WAVE_TRUNCATED',
])

/** Where a warning stands among the others: 0 = before the stems are used, 1 = worth knowing. */
export const rankOf = (warning: Warning): 0 | 1 => (NEEDS_A_PERSON.has(warning.code) ? 0 : 1)

/** All warnings of the rooms, each once, those that need a person first; else in the order in which they came. */
export const warningsOf = (...lists: readonly (readonly Warning[])[]): readonly Warning[] => {
  const once = new Map<string, Warning>()
  for (const { code, group, source, message } of lists.flat()) {
    const key = JSON.stringify([code, group, source, message])
    if (!once.has(key)) once.set(key, { code, group, source, message })
  }
  return [...once.values()].sort((a, b) => rankOf(a) - rankOf(b))
}
