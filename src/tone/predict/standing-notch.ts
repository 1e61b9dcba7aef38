/** Between two notches of a comb the loss comes down at least to here, dB. */
const OPEN_DB = 3

/**
 * The notch, or null where it is only a ripple in a low end that cancels as a whole, as when one path is inverted: everything that was played
 * below it is lost as well. Such a frequency says nothing about a distance. `lossDb`: null where nothing was played.
 */
export const standingNotchHz = (
  notchHz: number | null,
  frequenciesHz: readonly number[],
  lossDb: readonly (number | null)[],
): number | null => {
  if (notchHz === null) return null
  const below = lossDb.filter((loss, i) => loss !== null && frequenciesHz[i]! < notchHz)
  return below.length === 0 || below.some(loss => loss! < OPEN_DB) ? notchHz : null
}
