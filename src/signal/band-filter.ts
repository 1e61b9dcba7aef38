import * as portable from '../terms/portable.js'

/** One pair of poles with zeros at 0 Hz and half the rate: (1 - z^-2) / (1 + a1 z^-1 + a2 z^-2). */
interface Section {
  readonly a1: number
  readonly a2: number
}

// Ringing that has died away this far is cleared: tiny numbers would slow the processor down.
const SILENCE = 1e-60
// Looked for after so many frames, in which hardly a band dies away from there to the numbers that are slow (1e-308).
const STRETCH = 1024

/**
 * Butterworth band-pass by the bilinear transform. Both edges, where it is 3.01 dB down, stand exactly where asked; the gain
 * at the geometric middle (of the edges as the transform bends them) is 1. Keeps the energy of its output, not the output.
 */
export class BandFilter {
  readonly #sections: readonly Section[]
  readonly #gain: number
  readonly #memory: Float64Array
  readonly #response: (frequencyHz: number) => number
  #scratch = new Float64Array(0)
  #energy = 0

  /** `order` of the prototype, 3 or more: the band-pass has twice as many poles. Edges: 0 < low < high < half the rate. */
  constructor(lowHz: number, highHz: number, sampleRateHz: number, order = 3) {
    const low = portable.tan((Math.PI * lowHz) / sampleRateHz)
    const high = portable.tan((Math.PI * highHz) / sampleRateHz)
    const designed = designSections(high - low, low * high, order)
    this.#sections = designed.sections
    this.#gain = designed.gain
    this.#memory = new Float64Array(2 * order + 2)
    this.#response = frequencyHz => bandPassPower(frequencyHz, lowHz, highHz, sampleRateHz, order)
  }

  /** Sum of the squares of all output so far. */
  get energy(): number {
    return this.#energy * this.#gain * this.#gain
  }

  /** |H|^2 at a frequency of 0 to half the rate. */
  powerResponse(frequencyHz: number): number {
    return this.#response(frequencyHz)
  }

  /** Takes the first `frames` of the samples; they are left as they are. */
  push(samples: Float64Array, frames: number): void {
    for (let at = 0; at < frames; at += STRETCH) {
      const end = Math.min(frames, at + STRETCH)
      this.#run(samples.subarray(at, end), end - at)
    }
  }

  #run(samples: Float64Array, frames: number): void {
    const memory = this.#memory
    const extra = this.#sections.length - 3
    let input = samples
    if (extra > 0 && this.#scratch.length < frames) this.#scratch = new Float64Array(frames)
    for (let s = 0; s < extra; s++) {
      runSection(this.#sections[s]!, memory, 2 * s, input, this.#scratch, frames)
      input = this.#scratch
    }
    this.#energy += runLastThree(this.#sections, memory, 2 * extra, input, frames)
    for (let i = 0; i < memory.length; i++) if (Math.abs(memory[i]!) < SILENCE) memory[i] = 0
  }
}

/** 1 / (1 + ((w^2 - w0^2) / (B w))^(2 order)) with w = tan(pi f / rate). */
export const bandPassPower = (
  frequencyHz: number,
  lowHz: number,
  highHz: number,
  sampleRateHz: number,
  order: number,
): number => {
  const low = portable.tan((Math.PI * lowHz) / sampleRateHz)
  const high = portable.tan((Math.PI * highHz) / sampleRateHz)
  const w = portable.tan((Math.PI * frequencyHz) / sampleRateHz)
  const offset = (w * w - low * high) / ((high - low) * w)
  let power = 1
  for (let n = 0; n < order; n++) power *= offset * offset
  return 1 / (1 + power)
}

// Sections share their memory: the past output of one is the past input of the next. Element 2s holds the last input of section s,
// 2s + 1 the one before. What is known last is subtracted last, which shortens the chain that each frame waits for.
const runSection = (
  { a1, a2 }: Section,
  memory: Float64Array,
  at: number,
  input: Float64Array,
  output: Float64Array,
  frames: number,
): void => {
  let x1 = memory[at]!
  let x2 = memory[at + 1]!
  let y1 = memory[at + 2]!
  let y2 = memory[at + 3]!
  for (let i = 0; i < frames; i++) {
    const x = input[i]!
    const y = x - x2 - a2 * y2 - a1 * y1
    x2 = x1
    x1 = x
    y2 = y1
    y1 = y
    output[i] = y
  }
  memory[at] = x1
  memory[at + 1] = x2
  // The output's memory is the next section's input memory, which that section brings up to date itself.
}

const runLastThree = (
  sections: readonly Section[],
  memory: Float64Array,
  at: number,
  samples: Float64Array,
  frames: number,
): number => {
  const [one, two, three] = sections.slice(-3) as [Section, Section, Section]
  const { a1, a2 } = one
  const { a1: b1, a2: b2 } = two
  const { a1: c1, a2: c2 } = three
  let x1 = memory[at]!
  let x2 = memory[at + 1]!
  let u1 = memory[at + 2]!
  let u2 = memory[at + 3]!
  let v1 = memory[at + 4]!
  let v2 = memory[at + 5]!
  let w1 = memory[at + 6]!
  let w2 = memory[at + 7]!
  let energy = 0
  for (let i = 0; i < frames; i++) {
    const x = samples[i]!
    const u = x - x2 - a2 * u2 - a1 * u1
    const v = u - u2 - b2 * v2 - b1 * v1
    const w = v - v2 - c2 * w2 - c1 * w1
    x2 = x1
    x1 = x
    u2 = u1
    u1 = u
    v2 = v1
    v1 = v
    w2 = w1
    w1 = w
    energy += w * w
  }
  memory.set([x1, x2, u1, u2, v1, v2, w1, w2], at)
  return energy
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
