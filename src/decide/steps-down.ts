/** Stems are turned down in steps of this many dB: a value that a person can set on a fader, and read off again. */
const STEP_DB = 0.5

/** Smallest number of whole steps, as dB ≥ 0, that brings `peakDb` to `limitDb` or under it; 0 for silence (−Infinity). */
export const stepsDownDb = (peakDb: number, limitDb: number): number => {
  const over = peakDb - limitDb
  // A level that is reached to a millionth of a dB is reached.
  return over > 1e-6 ? Math.ceil((over - 1e-6) / STEP_DB) * STEP_DB : 0
}
