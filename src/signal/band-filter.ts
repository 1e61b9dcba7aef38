import * as portable from '../terms/portable.js'
import { addressOf, float64 } from './kernel/arena.js'
import { kernels } from './kernel/kernels.js'
import { bandPairPlain } from './plain/bands.js'

/** One pair of poles with zeros at 0 Hz and half the rate: (1 - z^-2) / (1 + a1 z^-1 + a2 z^-2). */
interface Section {
  readonly a1: number
  readonly a2: number
}

// Ringing that has died away this far is cleared: tiny numbers would slow the processor down.
const SILENCE = 1e-60
// Looked for after so many frames, in which hardly a band dies away from there to the numbers that are slow (1e-308).
const STRETCH = 1024

/** Order of the prototype: each band has twice as many poles, in as many sections. */
export const BAND_ORDER = 4
const SECTIONS = BAND_ORDER

/** Edges of a band, Hz. */
export interface BandEdges {
  readonly lowHz: number
  readonly highHz: number
}

/**
 * Butterworth band-passes of order 4 by the bilinear transform, two at a time on one signal. Both edges of a band, where it is 3.01 dB down,
 * stand exactly where asked; the gain at the geometric middle (of the edges as the transform bends them) is 1. Keeps the energy of what
 * comes out, not that itself.
 */
export class BandPair {
  /** Edges as the transform bends them: tan(pi f / rate). */
  readonly #edges: readonly { readonly low: number; readonly high: number }[]
  readonly #rate: number
  readonly #gains: readonly number[]
  readonly #sections = float64(4 * SECTIONS)
  readonly #memory = float64(4 * (SECTIONS + 1) + 2)

  /** One band or two; 0 < low < high < half the rate. One alone runs twice. */
  constructor(bands: readonly [BandEdges, (BandEdges | undefined)?], sampleRateHz: number) {
    const [first, second = first] = bands
    this.#rate = sampleRateHz
    this.#edges = [first, second].map(({ lowHz, highHz }) => ({
      low: portable.tan((Math.PI * lowHz) / sampleRateHz),
      high: portable.tan((Math.PI * highHz) / sampleRateHz),
    }))
    this.#gains = this.#edges.map(({ low, high }, lane) => {
      const { sections, gain } = designSections(high - low, low * high, BAND_ORDER)
      sections.forEach(({ a1, a2 }, s) => {
        this.#sections[4 * s + lane] = a1
        this.#sections[4 * s + 2 + lane] = a2
      })
      return gain
    })
  }

  /** Sum of the squares of all that came out of a band so far. */
  energy(band: 0 | 1): number {
    const gain = this.#gains[band]!
    return this.#memory[4 * (SECTIONS + 1) + band]! * gain * gain
  }

  /** |H|^2 of a band at a frequency of 0 to half the rate: 1 / (1 + ((w^2 - w0^2) / (B w))^(2 order)) with w = tan(pi f / rate). */
  powerResponse(band: 0 | 1, frequencyHz: number): number {
    const { low, high } = this.#edges[band]!
    const w = portable.tan((Math.PI * frequencyHz) / this.#rate)
    const offset = (w * w - low * high) / ((high - low) * w)
    let power = 1
    for (let n = 0; n < BAND_ORDER; n++) power *= offset * offset
    return 1 / (1 + power)
  }

  /** Takes the first `frames` of the samples; they are left as they are. */
  push(samples: Float64Array, frames: number): void {
    const memory = this.#memory
    const at = addressOf(samples)
    const [sectionsAt, memoryAt] = [addressOf(this.#sections), addressOf(memory)]
    const run = at < 0 || sectionsAt < 0 || memoryAt < 0 ? undefined : kernels()?.run
    for (let start = 0; start < frames; start += STRETCH) {
      const end = Math.min(frames, start + STRETCH)
      if (run === undefined) bandPairPlain(samples, start, end, this.#sections, memory)
      else run.bandPair(at + 8 * start, end - start, sectionsAt, memoryAt)
      for (let i = 0; i < 4 * (SECTIONS + 1); i++) if (Math.abs(memory[i]!) < SILENCE) memory[i] = 0
    }
  }
}

/**
 * Poles of the prototype lie on the left half of the unit circle, at angles pi (2k + order + 1) / (2 order). Each becomes two by
 * s -> (s^2 + w0^2) / (B s); each of those, with its mirror image, makes a section.
 */
const designSections = (
  bandwidth: number,
  midSquared: number,
  order: number,
): { readonly sections: readonly Section[]; readonly gain: number } => {
  const pairs: (readonly [number, number])[] = []
  if (order % 2 === 1) pairs.push([bandwidth, midSquared])
  for (let k = 0; k < Math.floor(order / 2); k++) {
    const angle = (Math.PI * (2 * k + order + 1)) / (2 * order)
    const re = portable.cos(angle) * (bandwidth / 2)
    const im = portable.sin(angle) * (bandwidth / 2)
    const [rootRe, rootIm] = complexRoot(re * re - im * im - midSquared, 2 * re * im)
    pairs.push(polesOf(re + rootRe, im + rootIm), polesOf(re - rootRe, im - rootIm))
  }
  let gain = 1
  const sections = pairs.map(([c1, c0]) => {
    const scale = 1 / (1 + c1 + c0)
    gain *= bandwidth * scale
    return { a1: 2 * (c0 - 1) * scale, a2: (1 - c1 + c0) * scale }
  })
  return { sections, gain }
}

/** c1 and c0 of s^2 + c1 s + c0 for a pole and its mirror image. */
const polesOf = (re: number, im: number): readonly [number, number] => [-2 * re, re * re + im * im]

const complexRoot = (re: number, im: number): readonly [number, number] => {
  const size = Math.sqrt(re * re + im * im)
  const rootRe = Math.sqrt(Math.max(0, (size + re) / 2))
  const rootIm = Math.sqrt(Math.max(0, (size - re) / 2))
  return [rootRe, im < 0 ? -rootIm : rootIm]
}
