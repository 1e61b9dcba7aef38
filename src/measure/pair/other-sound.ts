import { RealFft } from '../../signal/fft.js'
import { hannOverlap } from '../spectra/frame-grid.js'
import { type Arrival, refineArrival } from './arrival.js'
import { commonSound } from './common-sound.js'
import { type LoudOpinion, loudOpinion, meanAgreement, mostAgreed, octaveAgreements } from './loud-octaves.js'
import type { PairSums } from './pair-sums.js'
import { type Peak, peaksOf, type SearchResult, scot } from './search.js'

/** An answer to the question for the lag with what speaks for and against it. */
export interface Answer {
  readonly best: Peak
  readonly found: SearchResult
  readonly arrival: Arrival
  readonly loud: LoudOpinion
  /** Bins that the coherence was smoothed over at least, on each side. */
  readonly minHalf: number
}

/** So much better the loud octaves must line up elsewhere for that lag to be tried, and to be taken. */
const BETTER = 0.15
/** The loud octaves may contradict the answer only where they are within 6 dB of the loudest: fainter ones are the other sound's. */
const LOUDEST = 0.25
/** Smoothing over 17 bins: sound that is common at another lag cancels out of the coherence. */
const MIN_HALF = 8
const DEGREES = 64
const MAX_HALF = 16
const NEAR_SECONDS = 0.004

/**
 * Where the loud octaves line up elsewhere than the many faint bins that were followed, two sounds are common to both tracks:
 * the instrument, and a bleed that fills all the bins in which the instrument is silent. Looks again at the lag of the loud
 * octaves, with the bins in which that sound is common; null where that gives no better answer.
 */
export const loudAnswer = (sums: PairSums, first: Answer, low: number, high: number): Answer | null => {
  const { best: peak, arrival: before } = first
  const agreed = meanAgreement(octaveAgreements(sums, before.lagSamples, peak.sign))
  const elsewhere = mostAgreed(sums, low, high)
  if (elsewhere.agreement < agreed + BETTER) return null
  const centre = elsewhere.lagSamples
  const rough = { aroundLag: centre, degrees: DEGREES, maxHalf: MAX_HALF, minHalf: MIN_HALF }
  const reach = NEAR_SECONDS * sums.sampleRateHz
  const near = curveOf(sums, commonSound(sums, rough), low, high).peaks.find(
    p => Math.abs(p.lagSamples - centre) < reach,
  )
  if (near === undefined) return null
  const sound = commonSound(sums, { ...rough, aroundLag: near.lagSamples })
  const found = curveOf(sums, sound, low, high)
  const best = found.peaks.find(p => Math.abs(p.lagSamples - near.lagSamples) < reach)
  if (best === undefined) return null
  const arrival = refineArrival(sums, best.lagSamples, best.sign, MIN_HALF)
  if (meanAgreement(octaveAgreements(sums, arrival.lagSamples, best.sign)) < agreed + BETTER) return null
  const loud = loudOpinion(sums, arrival, low, high, LOUDEST)
  // The answer comes first; what lines up better with these bins, if anything does, is its rival.
  const peaks = [best, ...found.peaks.filter(p => p !== best)]
  return { best, found: { ...found, peaks }, arrival, loud, minHalf: MIN_HALF }
}

// The search curve for the bins of one sound, weights fixed.
const curveOf = (
  sums: PairSums,
  sound: ReturnType<typeof commonSound>,
  low: number,
  high: number,
): SearchResult => {
  const fft = new RealFft(2 * sums.fftSize)
  const spectrum = new Float64Array(fft.size + 2)
  spectrum.set(scot(sound))
  spectrum[0] = 0
  const lagDomain = new Float64Array(fft.size)
  fft.inverse(spectrum, lagDomain)
  const range = Math.floor(Math.max(-low, high))
  const curve = new Float64Array(4 * range + 1)
  const whole = new Float64Array(4 * range + 1)
  let total = 0
  for (const g of sound.gammaSquared) total += g * g
  for (let i = 0; i < curve.length; i++) {
    const lag = (i - 2 * range) / 2
    if (lag < low || lag > high) continue
    const index = Math.round(2 * (lag - sound.aroundLag))
    const value = lagDomain[((index % fft.size) + fft.size) % fft.size]!
    curve[i] = (value * sums.fftSize) / Math.max(0.2, hannOverlap(lag / sums.windowLength))
    whole[i] = total
  }
  return { peaks: peaksOf(curve, whole, 2 * range), curve, rangeSamples: range }
}
