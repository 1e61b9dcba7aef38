import { RealFft } from '../../signal/fft.js'
import { type Arrival, refineArrival } from '../pair/arrival.js'
import type { PairSums } from '../pair/pair-sums.js'
import type { Peak } from '../pair/search.js'
import { runningMean } from '../pair/smooth.js'
import { type GatheredSpectra, pairOf } from './gather.js'

/** A rival at the other end of a wide search: as `rival` and `earlier` of the verdict, which see as far as the fine window. */
const AS_LARGE = 0.8
const EARLIER = 0.42
/** What lies nearer than this part of the fine window is seen by the fine pass itself. */
const SEEN_SHARE = 0.25
/** Of the smoothed auto-spectrum, added to the fine one. */
const FLOOR = 0.03

export interface CopyQuestion {
  readonly coarse: GatheredSpectra
  /** Index of the pair in the coarse pass. */
  readonly pair: number
  /** Peaks of the coarse search, largest first. */
  readonly peaks: readonly Peak[]
  /** The lag that was found, frames. */
  readonly lagSamples: number
  readonly searchSamples: number
  readonly fineFftSize: number
}

/** Asks of a pair of the coarse pass, at the lag that was found, frames. */
export type CopyFinder = (pair: number, lagSamples: number) => number | null

const NOTHING_FURTHER: CopyFinder = () => null

/** For all pairs of a coarse pass. Where the fine window sees the whole search, the coarse spectra are not held on to. */
export const copyFinder = (
  coarse: GatheredSpectra,
  peaks: readonly (readonly Peak[])[],
  searchSamples: number,
  fineFftSize: number,
): CopyFinder =>
  searchSamples <= SEEN_SHARE * fineFftSize
    ? NOTHING_FURTHER
    : finderIn({ coarse, searchSamples, fineFftSize }, peaks)

const finderIn =
  (
    common: Pick<CopyQuestion, 'coarse' | 'searchSamples' | 'fineFftSize'>,
    peaks: readonly (readonly Peak[])[],
  ): CopyFinder =>
  (pair, lagSamples) =>
    secondCopy({ ...common, pair, peaks: peaks[pair]!, lagSamples })

/**
 * A second copy of the sound further off than the fine window sees: an echo or a doubled part. Told where it lines up four fifths
 * as well as the lag that was found; before that lag, where the response holds a pulse of 0.42 of the arrival's: of two copies
 * the first is the path, however loud the second. Frames of lag; null with none, or where the search does not go that far.
 */
export const secondCopy = (question: CopyQuestion): number | null => {
  const { coarse, pair, peaks, lagSamples, searchSamples, fineFftSize } = question
  const seen = SEEN_SHARE * fineFftSize
  if (searchSamples <= seen) return null
  const own = peaks.find(p => Math.abs(p.lagSamples - lagSamples) < seen)
  if (own === undefined) return null
  const rival = peaks.find(p => Math.abs(p.lagSamples - lagSamples) >= seen && p.mass >= AS_LARGE * own.mass)
  if (rival !== undefined) return rival.lagSamples
  const { sums } = pairOf(coarse, pair)
  const arrival = refineArrival(sums, own.lagSamples, own.sign)
  const reach = Math.min(own.lagSamples + searchSamples, 0.4 * sums.fftSize)
  const earlier = earlierPulse(sums, arrival, reach, seen)
  return earlier.ratio > EARLIER ? own.lagSamples + earlier.excessSamples : null
}

/**
 * Largest pulse from `reach` to `guard` frames before the arrival in the response `S12 / S11`, over the arrival's. The
 * auto-spectrum is hardly smoothed: a groove that repeats itself has a fine comb in it, which must be divided out, or every bar of it
 * would look like a copy. Where it has holes a part of the smoothed one holds the quotient down.
 */
const earlierPulse = (
  sums: PairSums,
  { lagSamples, sound }: Arrival,
  reach: number,
  guard: number,
): { readonly ratio: number; readonly excessSamples: number } => {
  const smooth = runningMean(sums.first, sound.half)
  const spectrum = new Float64Array(sums.fftSize + 2)
  for (let k = 1; k < sound.gammaSquared.length; k++) {
    const weight = sound.gammaSquared[k]! / (sums.first[k]! + FLOOR * smooth[k]!)
    if (!(weight > 0)) continue
    spectrum[2 * k] = sums.cross[2 * k]! * weight
    spectrum[2 * k + 1] = sums.cross[2 * k + 1]! * weight
  }
  const fft = new RealFft(sums.fftSize)
  const response = new Float64Array(fft.size)
  fft.inverse(spectrum, response)
  const at = (frame: number): number => Math.abs(response[((frame % fft.size) + fft.size) % fft.size]!)
  const middle = Math.round(lagSamples)
  let own = 0
  for (let frame = middle - guard; frame <= middle + guard; frame++) own = Math.max(own, at(frame))
  let most = 0
  let where = middle
  for (let frame = middle - Math.floor(reach); frame < middle - guard; frame++) {
    if (at(frame) <= most) continue
    most = at(frame)
    where = frame
  }
  return { ratio: own > 0 ? most / own : 0, excessSamples: where - middle }
}
