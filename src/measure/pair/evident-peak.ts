import { broadEvidence } from './broad-coherence.js'
import { commonSoundIn, soundFrame } from './common-sound.js'
import type { PairSums } from './pair-sums.js'
import type { Peak, SearchResult } from './search.js'

/** A peak is faint under both: its height over the rms of the curve, and the part of the common sound that lines up there. What stays so is called `unknown`. */
const FAINT_PROMINENCE = 7
const FAINT_SCORE = 0.5
/** So many nats likelier another peak must be: a factor of twenty. */
const LIKELIER = 3
const SMOOTHED = { degrees: 160, maxHalf: 96 }

/**
 * The peaks of a search, best first. Where none stands out, that one of them goes first at which the broad sound is most evident: a vote in which every bin of
 * silence has its say can miss common sound that fills a few hundred hertz of noise.
 */
export const bestFirst = (
  sums: PairSums,
  { curve }: SearchResult,
  peaks: readonly Peak[],
): readonly Peak[] => {
  const [first] = peaks
  if (first === undefined || first.score >= FAINT_SCORE || first.mass >= FAINT_PROMINENCE * rms(curve))
    return peaks
  const frame = soundFrame(sums, SMOOTHED)
  // A quarter of a frame off at most, which hardly turns any phase.
  const evidence = peaks.map(peak => broadEvidence(commonSoundIn(frame, peak.lagSamples), peak.sign))
  const best = evidence.indexOf(Math.max(...evidence))
  if (evidence[best]! < evidence[0]! + LIKELIER) return peaks
  return [peaks[best]!, ...peaks.filter((_, i) => i !== best)]
}

const rms = (curve: Float64Array): number => {
  let squares = 0
  for (const value of curve) squares += value * value
  return Math.sqrt(squares / curve.length)
}
