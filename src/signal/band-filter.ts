interface Section {
  readonly a1: number
  readonly a2: number
}

const SILENCE = 1e-60

/**
 * Butterworth band-pass of order 6 (a third-order prototype) by the bilinear transform, with both edges, where it is 3.01 dB
 * down, put exactly where asked. Keeps the energy of its output.
 */
export class BandFilter {
  readonly #sections: readonly [Section, Section, Section]
  readonly #gain: number
  readonly #memory = new Float64Array(6)
  readonly #bandwidth: number
  readonly #midSquared: number
  readonly #rate: number
  #energy = 0

  constructor(lowHz: number, highHz: number, sampleRateHz: number) {
    const low = Math.tan((Math.PI * lowHz) / sampleRateHz)
    const high = Math.tan((Math.PI * highHz) / sampleRateHz)
    this.#rate = sampleRateHz
    this.#bandwidth = high - low
    this.#midSquared = low * high
    const designed = designSections(this.#bandwidth, this.#midSquared)
    this.#sections = designed.sections
    this.#gain = designed.gain
  }

  /** Sum of the squares of all output so far. */
  get energy(): number {
    return this.#energy * this.#gain * this.#gain
  }

  /** |H|^2 at a frequency up to half the rate: 1 / (1 + ((w^2 - w0^2) / (B w))^6) with w = tan(pi f / rate). */
  powerResponse(frequencyHz: number): number {
    const w = Math.tan((Math.PI * frequencyHz) / this.#rate)
    const x = (w * w - this.#midSquared) / (this.#bandwidth * w)
    const cube = x * x * x
    return 1 / (1 + cube * cube)
  }

  push(samples: Float64Array, frames: number): void {
    const [one, two, three] = this.#sections
    const memory = this.#memory
    const { a1, a2 } = one
    const { a1: b1, a2: b2 } = two
    const { a1: c1, a2: c2 } = three
    let m0 = memory[0]!
    let m1 = memory[1]!
    let m2 = memory[2]!
    let m3 = memory[3]!
    let m4 = memory[4]!
    let m5 = memory[5]!
    let energy = 0
    // Each section is (1 - z^-2) / (1 + a1 z^-1 + a2 z^-2); the common gain is put on the energy.
    for (let i = 0; i < frames; i++) {
      const x = samples[i]!
      const u = x + m0
      m0 = m1 - a1 * u
      m1 = -x - a2 * u
      const v = u + m2
      m2 = m3 - b1 * v
      m3 = -u - b2 * v
      const w = v + m4
      m4 = m5 - c1 * w
      m5 = -v - c2 * w
      energy += w * w
    }
    memory.set([m0, m1, m2, m3, m4, m5])
    for (let i = 0; i < 6; i++) if (Math.abs(memory[i]!) < SILENCE) memory[i] = 0
    this.#energy += energy
  }
}

/** Poles of the third-order prototype: -1 and (-1 ± j sqrt 3) / 2. Each becomes a pair by s -> (s^2 + w0^2) / (B s). */
const designSections = (
  bandwidth: number,
  midSquared: number,
): { sections: [Section, Section, Section]; gain: number } => {
  const half = bandwidth / 2
  // s^2 - p B s + w0^2 = 0 with p = -1/2 + j sqrt(3)/2
  const pRe = -0.5 * half
  const pIm = Math.sqrt(0.75) * half
  const [rootRe, rootIm] = complexRoot(pRe * pRe - pIm * pIm - midSquared, 2 * pRe * pIm)
  const pairs: [number, number][] = [
    [bandwidth, midSquared],
    pairOf(pRe + rootRe, pIm + rootIm),
    pairOf(pRe - rootRe, pIm - rootIm),
  ]
  let gain = bandwidth * bandwidth * bandwidth
  const sections = pairs.map(([c1, c0]) => {
    const scale = 1 / (1 + c1 + c0)
    gain *= scale
    return { a1: 2 * (c0 - 1) * scale, a2: (1 - c1 + c0) * scale }
  })
  return { sections: sections as [Section, Section, Section], gain }
}

/** s^2 + c1 s + c0 of a pole and its conjugate. */
const pairOf = (re: number, im: number): [number, number] => [-2 * re, re * re + im * im]

const complexRoot = (re: number, im: number): [number, number] => {
  const size = Math.hypot(re, im)
  const rootRe = Math.sqrt((size + re) / 2)
  const rootIm = Math.sqrt((size - re) / 2)
  return [rootRe, im < 0 ? -rootIm : rootIm]
}
