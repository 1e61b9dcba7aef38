import { signed } from '../../terms/figure-text.js'
import type { BlendTone } from '../tone.js'

/** Changes under these are not heard and not told: half a dB is the least that anybody hears (check values: hearing). */
const LEVEL_DB = 0.5
const EVENNESS_DB = 0.2
/** A notch that moves by less than a semitone stays where it is. */
const SAME_NOTCH = 1.06
/** Most bands that are told: the ones that change most. */
const BANDS = 3

type Told = Pick<
  BlendTone,
  | 'bands'
  | 'firstNotchBeforeHz'
  | 'firstNotchAfterHz'
  | 'evennessBeforeDb'
  | 'evennessAfterDb'
  | 'broadbandChangeDb'
>

const decibels = (db: number): string => `${signed(db, 1)} dB`

/** "251 Hz", "1.2 kHz". */
const hz = (value: number): string =>
  value < 1000 ? `${Math.round(value)} Hz` : `${Number((value / 1000).toPrecision(2))} kHz`

/** "60–250 Hz", "0.8–2.5 kHz". */
const span = (fromHz: number, toHz: number): string =>
  toHz < 1000 ? `${fromHz}–${toHz} Hz` : `${fromHz / 1000}–${toHz / 1000} kHz`

const bandWords = (bands: Told['bands']): string[] => {
  const told = bands.flatMap(band =>
    band.changeDb !== null && Math.abs(band.changeDb) >= LEVEL_DB ? [{ ...band, change: band.changeDb }] : [],
  )
  const most = [...told].sort((a, b) => Math.abs(b.change) - Math.abs(a.change)).slice(0, BANDS)
  return told
    .filter(band => most.includes(band))
    .map(({ name, fromHz, toHz, change }) => `${name} ${span(fromHz, toHz)}: ${decibels(change)}`)
}

const notchWords = (before: number | null, after: number | null): string[] => {
  if (before === null) return after === null ? [] : [`first notch ${hz(after)} is new`]
  if (after === null) return [`first notch ${hz(before)} gone`]
  if (Math.max(before / after, after / before) < SAME_NOTCH) return []
  return [`first notch ${hz(before)} → ${hz(after)}`]
}

const evennessWords = (before: number | null, after: number | null): string[] =>
  before === null || after === null || Math.abs(after - before) < EVENNESS_DB
    ? []
    : [`evenness ${before.toFixed(1)} → ${after.toFixed(1)} dB`]

/** Parts of a blend that were an echo apart as recorded. */
export interface Echo {
  readonly source: string
  readonly ms: number
}

/**
 * One line of what changes, in the engineer's words; what did not change is left out. `moved`: whether the plan changes the blend at
 * all. `echo`: the part that was furthest away in time as recorded, where that is too far for a comb.
 */
export const toneWords = (tone: Told, moved: boolean, echo: Echo | null): string => {
  if (tone.broadbandChangeDb === null) return 'silent'
  if (!moved) return 'nothing changed: as recorded'
  const changes = [
    ...(echo === null ? [] : [`${echo.source} was ${Math.round(echo.ms)} ms away, an echo: now one sound`]),
    ...bandWords(tone.bands),
    ...notchWords(tone.firstNotchBeforeHz, tone.firstNotchAfterHz),
    ...evennessWords(tone.evennessBeforeDb, tone.evennessAfterDb),
  ]
  return changes.length === 0
    ? 'lined up; no band changes by 0.5 dB or more, no notch comes or goes'
    : changes.join('; ')
}
