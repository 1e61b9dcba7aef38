import { addressOf, keepFloat64 } from './kernel/arena.js'
import { kernels } from './kernel/kernels.js'
import { SeededRandom } from './random.js'

export { seededRandom } from './random.js'

// Where the kernel finds the state of the generator.
let shared: Float64Array | null | undefined

/**
 * Rounds to words of `bits` with triangular dither of ±1 step: the difference of two independent uniforms of one step. The
 * error's mean is 0 and its mean square a quarter of a step squared, whatever the signal.
 *
 * Each channel has its own generator, seeded from `seed` and the channel's number: the noise of two channels has nothing in
 * common, and the result depends neither on block sizes nor on the machine. The uniforms have 16 bits each, both from one draw.
 */
export class TpdfQuantiser {
  readonly #full: number
  readonly #states: readonly Int32Array[]

  /** `bits`: 8 … 32. `seed`: any text; the same text gives the same noise. */
  constructor(bits: number, channels: number, seed: string) {
    this.#full = fullScale(bits)
    this.#states = Array.from({ length: channels }, (_, c) => new SeededRandom(`${seed}/channel ${c}`).state)
  }

  /**
   * In place: afterwards every value is a whole multiple of 2^(1-bits) from -1 to 1 - 2^(1-bits); what lies beyond is
   * clamped. The first `frames` of each channel are used, by default all.
   */
  quantise(block: readonly Float64Array[], frames = block[0]?.length ?? 0): void {
    for (let c = 0; c < this.#states.length; c++) this.#channel(block[c]!, this.#states[c]!, frames)
  }

  #channel(samples: Float64Array, state: Int32Array, frames: number): void {
    const run = addressOf(samples) < 0 ? undefined : kernels()?.run
    if (shared === undefined) shared = keepFloat64(2)
    if (run === undefined || shared === null) {
      this.#channelPlain(samples, state, frames)
      return
    }
    const words = new Int32Array(shared.buffer, shared.byteOffset, 4)
    words.set(state)
    run.dither(samples.byteOffset, frames, shared.byteOffset, this.#full)
    state.set(words)
  }

  // The generator of random.ts, written out: a call per sample would cost more than the arithmetic.
  #channelPlain(samples: Float64Array, state: Int32Array, frames: number): void {
    const full = this.#full
    const step = 1 / full
    let a = state[0]!
    let b = state[1]!
    let c = state[2]!
    let counter = state[3]!
    for (let i = 0; i < frames; i++) {
      const draw = (((a + b) | 0) + counter) | 0
      counter = (counter + 1) | 0
      a = b ^ (b >>> 9)
      b = (c + (c << 3)) | 0
      c = (((c << 21) | (c >>> 11)) + draw) | 0
      const noise = ((draw >>> 16) - (draw & 0xffff)) * (1 / 65536)
      const word = Math.floor(samples[i]! * full + noise + 0.5)
      samples[i] = Math.max(-full, Math.min(full - 1, word)) * step
    }
    state[0] = a
    state[1] = b
    state[2] = c
    state[3] = counter
  }
}

/** Rounds in place to words of `bits` without dither, to the nearest (halves up), clamped as above. */
export const roundToGrid = (
  block: readonly Float64Array[],
  bits: number,
  frames = block[0]?.length ?? 0,
): void => {
  const full = fullScale(bits)
  for (const samples of block) {
    for (let i = 0; i < frames; i++) {
      const word = Math.floor(samples[i]! * full + 0.5)
      samples[i] = Math.max(-full, Math.min(full - 1, word)) / full
    }
  }
}

// 2^(bits - 1), without pow; exact up to 32 bits.
const fullScale = (bits: number): number => (1 << (bits - 2)) * 2
