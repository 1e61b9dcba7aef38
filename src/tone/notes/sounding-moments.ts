import type { NoteMoment } from './played.js'

/** Moments further under a note's loudest do not show what it sounds like: -20 dB. */
const CLEAR_SHARE = 0.01

/** When a note sounds clearly, seconds, ascending, to a hundredth. */
export const soundingMoments = (midi: number, moments: readonly NoteMoment[]): number[] => {
  const own = moments.filter(moment => moment.midi === midi)
  const loudest = Math.max(...own.map(({ energy }) => energy))
  return own
    .filter(({ energy }) => energy >= CLEAR_SHARE * loudest)
    .map(({ atSeconds }) => Math.round(atSeconds * 100) / 100)
    .sort((a, b) => a - b)
}
