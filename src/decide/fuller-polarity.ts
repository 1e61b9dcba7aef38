import type { Candidate, Polarity } from '../measure/measurement.js'

/** Half a period of the highest octave that could matter is not shorter than this at any usual rate. */
const ALONE_SAMPLES = 1

/**
 * The polarity that sums fuller at a lag that is given, told from the positions that the measurement weighed.
 *
 * Positions of the two polarities take turns along the lag axis, half a period apart. A lag belongs to the position that it lies
 * nearest to, as long as it is nearer than half the way from there to the next position of the other polarity. Where all positions have
 * one polarity it has to lie within a frame of one; farther out the measurement cannot tell.
 *
 * @param lagSamples The lag that is kept, frames.
 * @param aims Whose positions are asked, the first that can tell.
 * @returns null where the measurement cannot tell.
 */
export const fullerPolarity = (
  lagSamples: number,
  candidates: readonly Candidate[],
  aims: readonly Candidate['aim'][],
): Polarity | null => {
  for (const aim of aims) {
    const told = nearestPolarity(
      lagSamples,
      candidates.filter(candidate => candidate.aim === aim),
    )
    if (told !== null) return told
  }
  return null
}

const nearestPolarity = (lagSamples: number, positions: readonly Candidate[]): Polarity | null => {
  const distance = (position: Candidate): number => Math.abs(position.lagSamples - lagSamples)
  const [nearest, ...others] = [...positions].sort((a, b) => distance(a) - distance(b))
  if (nearest === undefined) return null
  const rivals = others.filter(position => position.polarity !== nearest.polarity)
  const halfWays = rivals.map(rival => Math.abs(rival.lagSamples - nearest.lagSamples) / 2)
  const reach = rivals.length === 0 ? ALONE_SAMPLES : Math.min(...halfWays)
  return distance(nearest) <= reach ? nearest.polarity : null
}
