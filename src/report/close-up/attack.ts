import * as portable from '../../terms/portable.js'
/** Length of one step of the level curves from which an attack is chosen, seconds. */
export const HOP_SECONDS = 0.005

/** A rise counts up to here, dB: an attack out of silence is not better than one out of a quiet note. */
const RISE_CAP_DB = 24

const SILENCE_DB = -120

/** From here on a recording counts as clipped, full scale 1. */
const CLIPPED_AT = 0.999

/** What stands in a level curve for a hop that touches full scale. */
const CLIPPED = Infinity

/**
 * Mean level of each whole hop of a signal, dB re full scale; −120 for silence. With `markClipped` a hop that touches full scale is
 * Infinity: an attack that was not caught whole is not one to show.
 */
export const levelsOf = (signal: Float64Array, hopFrames: number, markClipped = false): Float64Array => {
  const levels = new Float64Array(Math.floor(signal.length / hopFrames))
  for (let hop = 0; hop < levels.length; hop++) {
    let energy = 0
    let peak = 0
    for (let i = hop * hopFrames; i < (hop + 1) * hopFrames; i++) {
      const value = signal[i]!
      energy += value * value
      peak = Math.max(peak, Math.abs(value))
    }
    const level = Math.max(SILENCE_DB, 10 * portable.log10(energy / hopFrames))
    levels[hop] = markClipped && peak >= CLIPPED_AT ? CLIPPED : level
  }
  return levels
}

export interface Instant {
  readonly stretch: number
  readonly hop: number
}

/**
 * The hop at which an attack is loud in every source at once: the quietest source, each against its own loudest hop, plus the mean
 * rise over the two hops before. `levels[stretch][source]`: level curves, one length within a stretch, lags taken off.
 * Sources that are silent throughout do not vote; null where all are, or nothing is long enough, or all is clipped. The earliest of
 * equals; never one with a clipped hop from two before to three after it, in any source.
 */
export const loudestAttack = (levels: readonly (readonly Float64Array[])[]): Instant | null => {
  const sources = levels[0]?.length ?? 0
  const tops = Array.from({ length: sources }, (_, s) =>
    levels.reduce(
      (top, stretch) => stretch[s]!.reduce((a, b) => (b === CLIPPED ? a : Math.max(a, b)), top),
      SILENCE_DB,
    ),
  )
  const voters = tops.flatMap((top, s) => (top > SILENCE_DB + 20 ? [s] : []))
  let best: Instant | null = null
  let bestScore = -Infinity
  if (voters.length === 0) return null
  for (const [stretch, curves] of levels.entries()) {
    const hops = curves[0]?.length ?? 0
    for (let hop = 2; hop < hops; hop++) {
      let quietest = Infinity
      let rise = 0
      for (const s of voters) {
        const curve = curves[s]!
        if (curve.subarray(hop - 2, hop + 4).includes(CLIPPED)) rise = -Infinity
        const level = curve[hop]!
        quietest = Math.min(quietest, level - tops[s]!)
        rise += Math.min(RISE_CAP_DB, Math.max(0, level - Math.max(curve[hop - 1]!, curve[hop - 2]!)))
      }
      const score = quietest + rise / voters.length
      if (score > bestScore) {
        bestScore = score
        best = { stretch, hop }
      }
    }
  }
  return best
}

/**
 * Frame at which an attack begins in a short signal whose first `before` frames lie before it: the first frame that stands clear of
 * what came before and reaches a twelfth of the peak. 0 for silence.
 */
export const onsetFrame = (signal: Float64Array, before: number): number => {
  let earlier = 0
  let peak = 0
  for (let i = 0; i < signal.length; i++) {
    const size = Math.abs(signal[i]!)
    if (i < before) earlier = Math.max(earlier, size)
    peak = Math.max(peak, size)
  }
  if (peak === 0) return 0
  const threshold = Math.max(peak / 12, Math.min(1.1 * earlier, 0.7 * peak))
  return signal.findIndex(value => Math.abs(value) >= threshold)
}
