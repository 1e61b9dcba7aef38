import { type Arrival, refineArrival } from './arrival.js'
import { arrivalSpread, octaveLags } from './arrival-spread.js'
import { bestFirst } from './evident-peak.js'
import { type EarlierSound, earlierSound } from './first-sound.js'
import { Fullness, type FullPosition } from './fullness.js'
import { type HalfBand, halfBands } from './halves.js'
import { heardToHz } from './heard-band.js'
import { type FoldPull, foldPulls, lagsWithoutFolds, statedError } from './leave-out.js'
import { type LoudOpinion, loudOpinion, type OctaveAgreement, octaveAgreements } from './loud-octaves.js'
import { type LoudSupport, loudSupport } from './loud-support.js'
import { type OctaveRival, octaveCurve, octaveRival } from './octave-rivals.js'
import { type Answer, loudAnswer } from './other-sound.js'
import type { PairSums } from './pair-sums.js'
import { type Peak, refinePeak, type SearchResult, searchFrame, searchLags } from './search.js'

/** Everything that two traces tell about their lag; plain numbers for the verdict to judge. */
export interface PairEstimate {
  /** Frames, against the sums' own zero, positive: the second trace is late. */
  readonly lagSamples: number
  readonly sign: 1 | -1
  readonly uncertaintySamples: number
  readonly boundSamples: number
  /** Error that the coherence lets expect for the weights used. */
  readonly expectedSamples: number
  readonly spreadSamples: number
  /** Mean γ² over the bins that share sound; 0 with none. */
  readonly coherence: number
  /** Share of the second trace's and of the first's energy that is common, the smaller of the two, 0 … 1. */
  readonly commonEnergy: number
  /** Width of the common band: sum of |γ| over bins, in Hz; and its middle. */
  readonly commonHz: number
  readonly middleHz: number
  /** The peak's own standing: `mass` over the common sound. */
  readonly score: number
  /** Height over the rms of the search curve away from the peak. */
  readonly prominence: number
  readonly peaks: readonly Peak[]
  /** Per peak: how much of the loud sound of all octaves lines up there, as part of what does at the arrival. */
  readonly peaksLoudness: readonly number[]
  readonly halves: readonly HalfBand[]
  readonly earlier: EarlierSound
  readonly loud: LoudOpinion
  /** How the loud octaves line up at the arrival. */
  readonly octaves: readonly OctaveAgreement[]
  /** The same by how the loud notes begin and end. */
  readonly support: LoudSupport
  /** Rivals as the loud sound of every octave sees them: of all of it, and of its partials alone. */
  readonly octaveRival: OctaveRival
  readonly partialsRival: OctaveRival
  /** Part of the folds (by weight) in which the common sound lines up here with this sign. */
  readonly foldShare: number
  readonly without: readonly number[]
  readonly pulls: readonly FoldPull[]
  readonly fullness: readonly FullPosition[]
  /** What the sum loses at the arrival itself, dB (as `FullPosition.lossDb`). */
  readonly arrivalLossDb: number
  /** Upper edge of what both share and is heard, Hz. */
  readonly heardToHz: number
  readonly phaseSpread: number
  /** Of its spectra only `cross`, `level` and `gammaSquared` are there; with `lagOnly` not even these. */
  readonly arrival: Arrival
}

export interface PairInput {
  /** What the search and the verdict look at. */
  readonly sums: PairSums
  /** What the lag is refined on: the same with the frames over the edges of the files. */
  readonly whole: PairSums
  /** Cross-spectra of the parts of time; null where not both sound. */
  readonly folds: readonly (Float32Array | Float64Array | null)[]
  /** Search `low … high` frames, against the sums' own zero. */
  readonly low: number
  readonly high: number
  /** Only the lag, its sign and how clear it is: for pairs that no verdict is told of. Rivals, octaves and positions are left out. */
  readonly lagOnly?: boolean
}

const FULL_POSITIONS = 4
/**
 * A pulse this little before the arrival is the path's own: where a roll-off or a peak of a loudspeaker delays the treble, the first swing of
 * one wavefront comes up to 0.2 ms before its middle.
 */
const EARLIER_SECONDS = 0.0002

const NO_RIVAL: OctaveRival = { ratio: 0, excessSamples: 0, sign: 1 }
const NOT_LOOKED_FOR = {
  peaks: [],
  peaksLoudness: [],
  halves: [],
  earlier: { ratio: 0, excessSamples: 0, prominence: 0, loudRatio: 1 },
  support: { share: 1, tiltDb: 0, heldShare: 0, inPhase: 1 },
  octaveRival: NO_RIVAL,
  partialsRival: NO_RIVAL,
  octaves: [],
  fullness: [],
  arrivalLossDb: 0,
  heardToHz: Number.POSITIVE_INFINITY,
} as const

const NO_NUMBERS = new Float64Array(0)

// Of many pairs all spectra would take a third of a megabyte each: of those that a verdict is told of only what advice asks for is kept.
const withoutSpectra = (arrival: Arrival, lagOnly: boolean): Arrival => {
  const { sound } = arrival
  const { cross, level, gammaSquared } = lagOnly
    ? { cross: NO_NUMBERS, level: NO_NUMBERS, gammaSquared: NO_NUMBERS }
    : sound
  const none = { smooth: NO_NUMBERS, degrees: NO_NUMBERS, half: new Int32Array(0) }
  return {
    ...arrival,
    quality: NO_NUMBERS,
    weights: NO_NUMBERS,
    sound: { ...sound, ...none, cross, level, gammaSquared },
  }
}

/** Null where not a single bin shares anything. */
export const estimatePair = (input: PairInput): PairEstimate | null => {
  const { sums, whole, folds, low, high, lagOnly = false } = input
  const range = Math.min(Math.max(-low, high, 8), sums.fftSize * 0.48)
  const answer = answerOf(sums, Math.max(low, -range), Math.min(high, range), range)
  if (answer === null) return null
  const { best, found, arrival, minHalf } = answer
  const exact = whole === sums ? arrival : refineArrival(whole, arrival.lagSamples, best.sign, minHalf)
  const { sound } = arrival
  const pulls = foldPulls(whole, exact, folds)
  const voices = folds.filter(f => f !== null).length
  const without = voices > 1 ? lagsWithoutFolds(exact.lagSamples, pulls) : []
  const band = commonBand(arrival, sums)
  const cycle = sums.sampleRateHz / Math.max(1, band.middleHz)
  const width = sums.sampleRateHz / Math.max(1, band.commonHz)
  let coherent = 0
  let weight = 0
  for (const g of sound.gammaSquared) {
    coherent += g * Math.sqrt(g)
    weight += Math.sqrt(g)
  }
  const core = {
    lagSamples: exact.lagSamples,
    sign: best.sign,
    uncertaintySamples: statedError(without, exact.expectedSamples, exact.boundSamples),
    boundSamples: exact.boundSamples,
    expectedSamples: exact.expectedSamples,
    spreadSamples: arrivalSpread(octaveLags(sums, arrival)),
    coherence: weight > 0 ? coherent / weight : 0,
    commonEnergy: commonEnergy(sums, arrival),
    ...band,
    score: Math.min(1, best.score),
    prominence: prominence(found, best, 2 * Math.max(cycle, width)),
    loud: answer.loud,
    foldShare: shareOfFolds(pulls, best.sign),
    without,
    pulls,
    phaseSpread: arrival.phaseSpread,
  }
  if (lagOnly) return { ...core, ...NOT_LOOKED_FOR, arrival: withoutSpectra(arrival, true) }
  const frame = searchFrame(sums, minHalf)
  const peaks = found.peaks
    .filter(p => p.lagSamples >= low - 1 && p.lagSamples <= high + 1)
    .slice(0, 8)
    .map(p => refinePeak(frame, p))
  const span = [Math.max(low, -range), Math.min(high, range)] as const
  const loudSound = octaveCurve(sums, arrival.lagSamples, best.sign, span, { power: 0.5, loud: false })
  const earlier = earlierSound(
    sums,
    arrival,
    Math.min(arrival.lagSamples - low, 0.4 * sums.fftSize),
    Math.max(width, EARLIER_SECONDS * sums.sampleRateHz),
  )
  // Within the arrival's own lobe nothing can be told apart by loudness.
  const loudnessAt = (excess: number): number =>
    Math.abs(excess) <= loudSound.lobeSamples ? 1 : loudSound.ratioAt(excess)
  const fullness = new Fullness(sums)
  return {
    ...core,
    peaks,
    peaksLoudness: peaks.map(p => loudnessAt(p.lagSamples - arrival.lagSamples)),
    halves: halfBands(sums, arrival, best.sign, Math.min(4 * cycle, 0.004 * sums.sampleRateHz)),
    earlier,
    support: loudSupport(sums, arrival, best.sign, ...span),
    octaveRival: octaveRival(sums, arrival.lagSamples, best.sign, span, 0.5),
    partialsRival: octaveRival(sums, arrival.lagSamples, best.sign, span, 1),
    octaves: octaveAgreements(sums, arrival.lagSamples, best.sign),
    fullness: fullness.best(...span, FULL_POSITIONS),
    arrivalLossDb: fullness.lossDb(arrival.lagSamples, best.sign),
    heardToHz: heardToHz(sums, arrival),
    arrival: withoutSpectra(arrival, false),
  }
}

// The lag at which most bins line up; or that of the loud octaves, where those are another sound than the many faint bins.
const answerOf = (sums: PairSums, low: number, high: number, range: number): Answer | null => {
  const found = searchLags(sums, range)
  const inside = bestFirst(
    sums,
    found,
    found.peaks.filter(p => p.lagSamples >= low - 1 && p.lagSamples <= high + 1),
  )
  const best = inside[0]
  if (best === undefined) return null
  const arrival = refineArrival(sums, refinePeak(searchFrame(sums), best).lagSamples, best.sign)
  const first = {
    best,
    found: { ...found, peaks: inside },
    arrival,
    loud: loudOpinion(sums, arrival, low, high),
    minHalf: 1,
  }
  return loudAnswer(sums, first, low, high) ?? first
}

const commonBand = (arrival: Arrival, sums: PairSums): { commonHz: number; middleHz: number } => {
  const binHz = sums.sampleRateHz / sums.fftSize
  let mass = 0
  let moment = 0
  const { gammaSquared } = arrival.sound
  for (let k = 0; k < gammaSquared.length; k++) {
    const size = Math.sqrt(gammaSquared[k]!)
    mass += size
    moment += size * k
  }
  return { commonHz: mass * binHz, middleHz: mass > 0 ? (moment / mass) * binHz : 0 }
}

const commonEnergy = (sums: PairSums, { sound }: Arrival): number => {
  const share = (auto: Float64Array): number => {
    let common = 0
    let all = 0
    for (let k = 2; k < auto.length; k++) {
      common += auto[k]! * sound.gammaSquared[k]!
      all += auto[k]!
    }
    return all > 0 ? common / all : 0
  }
  return Math.min(share(sums.first), share(sums.second))
}

const prominence = (found: SearchResult, best: Peak, guard: number): number => {
  const middle = (found.curve.length - 1) / 2
  let squares = 0
  let count = 0
  for (let i = 0; i < found.curve.length; i++) {
    if (Math.abs((i - middle) / 2 - best.lagSamples) <= guard) continue
    const value = found.curve[i]!
    squares += value * value
    count++
  }
  return count > 0 && squares > 0 ? best.mass / Math.sqrt(squares / count) : 0
}

const shareOfFolds = (pulls: readonly FoldPull[], sign: 1 | -1): number => {
  const size = pulls.reduce((sum, p) => sum + Math.abs(p.value), 0)
  return size > 0 ? pulls.reduce((sum, p) => sum + Math.max(0, sign * p.value), 0) / size : 0
}
