/** A stretch of a passage, frames. */
export interface Region {
  readonly from: number
  readonly to: number
}

/** How long the end of a loop fades into what lies before its start, seconds. */
const SEAM_SECONDS = 0.005

/**
 * A region as it is played round and round, begun at `first` (frames from its start). Its last 5 ms fade into what lies before its start,
 * so that the seam neither gaps nor clicks; at the start of a passage, where nothing lies before, into silence, and out of it again.
 */
export const loopSamples = (
  passage: Float64Array,
  { from, to }: Region,
  first: number,
  sampleRateHz: number,
): Float32Array => {
  const length = to - from
  const seam = Math.min(Math.floor(length / 2), Math.round(SEAM_SECONDS * sampleRateHz))
  const loop = new Float32Array(length)
  for (let i = 0; i < length; i++) {
    let value = passage[from + i]!
    const inSeam = i - (length - seam)
    if (inSeam >= 0) {
      const share = (inSeam + 1) / seam
      const before = from - seam + inSeam
      value = (1 - share) * value + (before >= 0 ? share * passage[before]! : 0)
    }
    if (from < seam && i < seam) value *= (i + 1) / seam
    loop[(i - first + length) % length] = value
  }
  return loop
}
