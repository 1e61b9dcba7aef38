/** A frame this far under the loud ones (95th percentile of all frames) holds nothing that was played: 45 dB in power. */
const PLAYED = 3e-5
/** Digital silence: -140 dBFS. */
const SILENCE = 1e-14

/** Per trace: mean square that a frame must exceed to vote. `levels`: NaN for frames that were not looked at. */
export const gatesOf = (levels: readonly Float32Array[]): number[] =>
  levels.map(level => {
    const sorted = level.filter(value => !Number.isNaN(value)).sort()
    const loud = sorted[Math.floor(0.95 * (sorted.length - 1))] ?? 0
    return Math.max(SILENCE, PLAYED * loud)
  })
