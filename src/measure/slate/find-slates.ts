import { Decimator } from '../../signal/decimate.js'
import { RealFft } from '../../signal/fft.js'
import { SLATE_SPACING_SECONDS, slateSweep, sweepSecondsBelow } from '../../signal/slate.js'
import type { FrameSource } from '../spectra/frame-source.js'

/** A place at which a slate was played. */
export interface SlatePlace {
  /** Where its first sweep begins, frames of the file; good to a few milliseconds. */
  readonly frame: number
  /** Part of the sound there that is the sweep, as amplitude 0 … 1: the lesser of both sweeps. */
  readonly score: number
}

/** The search runs on a copy at about this rate: three kilohertz of the sweep are plenty to find it by. */
const SEARCH_RATE_HZ = 8000
const BAND_SHARE = 0.4
const FFT_SIZE = 1 << 16
/** Noise reaches 0.04, plucked strings 0.17 (demo song); and that not twice, upside down and 4 s apart. */
const LEAST_SCORE = 0.2
/** Two clocks and the search's own raster. */
const SPACING_TOLERANCE_SECONDS = 0.004
const APART_SECONDS = 0.02
const MOST_PLACES = 8

/**
 * Finds slates in one channel: two sweeps, the second upside down, at the right distance. Best first, at most eight. One reading
 * of the file; memory grows by a few numbers per likely place only.
 */
export const findSlates = (
  source: FrameSource,
  channel: number,
  frames: number,
  sampleRateHz: number,
  between: (frames: number) => void = () => undefined,
): SlatePlace[] => {
  const factor = Math.max(2, Math.floor(sampleRateHz / SEARCH_RATE_HZ))
  const rate = sampleRateHz / factor
  const hits: Hit[] = []
  const finder = new SweepFinder(slateSweep(rate, sweepSecondsBelow(BAND_SHARE * rate)), hit => {
    addHit(hits, hit, APART_SECONDS * rate)
  })
  const decimator = new Decimator(factor)
  const block = 1 << 17
  const planar = Array.from({ length: source.channels }, () => new Float64Array(block))
  const fewer = new Float64Array(decimator.outputLength(block))
  for (let start = 0; start < frames; start += block) {
    source.read(start, planar)
    const count = Math.min(block, frames - start)
    finder.push(fewer.subarray(0, decimator.push(planar[channel]!, fewer, count)))
    between(count)
  }
  finder.push(fewer.subarray(0, decimator.finish(fewer)))
  finder.finish()
  return pairsOf(hits, SLATE_SPACING_SECONDS * rate, SPACING_TOLERANCE_SECONDS * rate)
    .slice(0, MOST_PLACES)
    .map(({ at, score }) => ({ frame: at * factor, score }))
}

interface Hit {
  readonly at: number
  /** Likeness with the sweep, -1 … 1. */
  readonly likeness: number
}

// Of hits next to each other only the largest stays; they come in order of time.
const addHit = (hits: Hit[], hit: Hit, apart: number): void => {
  const last = hits[hits.length - 1]
  if (last === undefined || hit.at - last.at > apart) hits.push(hit)
  else if (Math.abs(hit.likeness) > Math.abs(last.likeness)) hits[hits.length - 1] = hit
}

const pairsOf = (
  hits: readonly Hit[],
  spacing: number,
  tolerance: number,
): { readonly at: number; readonly score: number }[] => {
  const pairs: { at: number; score: number }[] = []
  let from = 0
  for (const first of hits) {
    while (from < hits.length && hits[from]!.at < first.at + spacing - tolerance) from++
    for (let i = from; i < hits.length && hits[i]!.at <= first.at + spacing + tolerance; i++) {
      const second = hits[i]!
      if (first.likeness * second.likeness >= 0) continue
      pairs.push({ at: first.at, score: Math.min(Math.abs(first.likeness), Math.abs(second.likeness)) })
    }
  }
  return pairs.sort((a, b) => b.score - a.score || a.at - b.at)
}

/** Matched filter by overlapping transforms, divided by the level of what lies under the sweep. */
class SweepFinder {
  readonly #sweepLength: number
  readonly #sweepNorm: number
  readonly #spectrum = new Float64Array(FFT_SIZE + 2)
  readonly #fft = new RealFft(FFT_SIZE)
  readonly #held = new Float64Array(FFT_SIZE)
  readonly #tell: (hit: Hit) => void
  #filled = 0
  #start = 0

  constructor(sweep: Float64Array, tell: (hit: Hit) => void) {
    this.#sweepLength = sweep.length
    this.#sweepNorm = Math.sqrt(sweep.reduce((sum, x) => sum + x * x, 0))
    const padded = new Float64Array(FFT_SIZE)
    padded.set(sweep)
    this.#fft.forward(padded, this.#spectrum)
    this.#tell = tell
  }

  push(samples: Float64Array): void {
    for (let taken = 0; taken < samples.length; ) {
      const count = Math.min(samples.length - taken, FFT_SIZE - this.#filled)
      this.#held.set(samples.subarray(taken, taken + count), this.#filled)
      this.#filled += count
      taken += count
      if (this.#filled === FFT_SIZE) this.#judge()
    }
  }

  finish(): void {
    // Silence after the end: a sweep that is cut short still counts by what there is of it.
    this.#held.fill(0, this.#filled)
    this.#filled = FFT_SIZE
    this.#judge()
  }

  #judge(): void {
    const valid = FFT_SIZE - this.#sweepLength
    const product = new Float64Array(FFT_SIZE + 2)
    this.#fft.forward(this.#held, product)
    for (let k = 0; k < product.length; k += 2) {
      const re = product[k]! * this.#spectrum[k]! + product[k + 1]! * this.#spectrum[k + 1]!
      const im = product[k + 1]! * this.#spectrum[k]! - product[k]! * this.#spectrum[k + 1]!
      product[k] = re
      product[k + 1] = im
    }
    const likeness = new Float64Array(FFT_SIZE)
    this.#fft.inverse(product, likeness)
    let energy = 0
    for (let i = 0; i < this.#sweepLength; i++) energy += this.#held[i]! * this.#held[i]!
    // Under this nothing was played: it only keeps rounding from being taken for sound.
    const floor = 1e-12 * this.#sweepLength
    let before = 0
    let own = 0
    for (let n = 0; n <= valid; n++) {
      const level = Math.sqrt(Math.max(energy, floor))
      const next = n < valid ? likeness[n]! / (level * this.#sweepNorm) : 0
      if (
        n > 0 &&
        Math.abs(own) >= LEAST_SCORE &&
        Math.abs(own) >= Math.abs(before) &&
        Math.abs(own) > Math.abs(next)
      )
        this.#tell({ at: this.#start + n - 1, likeness: own })
      before = own
      own = next
      if (n < valid) {
        const gone = this.#held[n]!
        const come = this.#held[n + this.#sweepLength]!
        energy += come * come - gone * gone
      }
    }
    this.#held.copyWithin(0, valid)
    this.#filled = this.#sweepLength
    this.#start += valid
  }
}
