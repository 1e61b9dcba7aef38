import { float32 } from '../../signal/kernel/arena.js'
import type { SingleFft } from '../../signal/single-fft.js'
import { BATCH, crossInto } from '../../signal/single-sums.js'
import * as portable from '../../terms/portable.js'

/** Spectra of a few frames of every trace, which wait to be summed together: sums of many pairs are fetched once for all of them. */
export class FrameBatch {
  readonly #pairs: readonly (readonly [number, number])[]
  readonly #batches: readonly Float32Array[]
  readonly #slots: readonly (readonly Float32Array[])[]
  #waiting = 0

  /** `compared`: per trace whether it is in a pair. */
  constructor(compared: readonly boolean[], fft: SingleFft, pairs: readonly (readonly [number, number])[]) {
    const length = 2 * fft.apart
    this.#pairs = pairs
    this.#batches = compared.map(is => float32(is ? BATCH * length : 0))
    this.#slots = Array.from({ length: BATCH }, (_, slot) =>
      this.#batches.map(batch => batch.subarray(slot * length, (slot + 1) * length)),
    )
  }

  /** Where the spectra of the next frame belong, one per trace; zeros for a trace that does not vote. */
  get latest(): readonly Float32Array[] {
    return this.#slots[this.#waiting]!
  }

  /** Keeps the spectra in `latest`; true where the batch is full and has to be summed. */
  take(): boolean {
    this.#waiting++
    return this.#waiting === BATCH
  }

  /** Adds what waits to sums per pair, laid out as spectra. */
  sumInto(cross: readonly Float64Array[]): void {
    if (this.#waiting === 0) return
    for (const empty of this.#slots.slice(this.#waiting)) for (const spectrum of empty) spectrum.fill(0)
    this.#pairs.forEach(([first, second], p) => {
      crossInto(this.#batches[first]!, this.#batches[second]!, cross[p]!)
    })
    this.#waiting = 0
  }
}

/** Sums laid out as a spectrum of `SingleFft`, with real and imaginary part of each bin in turn, into `out`. */
export const interleaved = <Numbers extends Float32Array | Float64Array>(
  sums: Float64Array,
  out: Numbers,
): Numbers => {
  const apart = sums.length / 2
  for (let k = 0; 2 * k < out.length; k++) {
    out[2 * k] = sums[k]!
    out[2 * k + 1] = sums[apart + k]!
  }
  return out
}

/** A spectrum of `SingleFft` as it would be had the sound come `samples` earlier, in place: bin k times `e^(j 2 pi k samples / fftSize)`. */
export const turnApart = (spectrum: Float32Array, samples: number, fftSize: number): void => {
  const apart = spectrum.length / 2
  const step = (2 * Math.PI * samples) / fftSize
  const stepRe = portable.cos(step)
  const stepIm = portable.sin(step)
  let cosine = 1
  let sine = 0
  for (let k = 0; k < apart; k++) {
    if ((k & 255) === 0) {
      cosine = portable.cos(step * k)
      sine = portable.sin(step * k)
    }
    const re = spectrum[k]!
    const im = spectrum[apart + k]!
    spectrum[k] = re * cosine - im * sine
    spectrum[apart + k] = re * sine + im * cosine
    const next = cosine * stepRe - sine * stepIm
    sine = cosine * stepIm + sine * stepRe
    cosine = next
  }
}
