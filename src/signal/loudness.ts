import { GrowingArray } from './growing-array.js'
import { kWeighting } from './k-weighting.js'

const ABSOLUTE_GATE_LUFS = -70
const RELATIVE_GATE_LU = 10
const HOPS_PER_BLOCK = 4
// Filter memory below this is silence; clearing it keeps the processor off its slow path for tiny numbers.
const SILENCE = 1e-40

const lufsOf = (power: number): number => -0.691 + 10 * Math.log10(power)

/**
 * Integrated loudness after ITU-R BS.1770-4/-5, annex 1, as a stream: K-weighting, blocks of 400 ms every 100 ms, absolute
 * gate at -70 LUFS, relative gate 10 LU below what is left. Any rate from 8 to 384 kHz.
 *
 * One channel counts once: a mono file reads 3.01 LU lower than the same sound on both sides of a stereo file. Memory: one
 * number per 100 ms.
 */
export class LoudnessMeter {
  readonly #weights: Float64Array
  readonly #coefficients: ReturnType<typeof kWeighting>
  readonly #memory: Float64Array[]
  readonly #rate: number
  readonly #hopPowers = new GrowingArray()
  readonly #hopFrames = new GrowingArray()
  #energy = 0
  #framesInHop = 0
  #hopLength: number

  /** `weights`: one factor per channel, 1 for left, right, centre and mono, 1.41 for surrounds; all 1 by default. */
  constructor(sampleRateHz: number, channels: number, weights?: readonly number[]) {
    this.#rate = sampleRateHz
    this.#weights = Float64Array.from({ length: channels }, (_, c) => weights?.[c] ?? 1)
    this.#coefficients = kWeighting(sampleRateHz)
    this.#memory = Array.from({ length: channels }, () => new Float64Array(4))
    this.#hopLength = this.#lengthOfHop(0)
  }

  /** `block`: one array per channel, full scale 1; the first `frames` of each are used, by default all. */
  push(block: readonly Float64Array[], frames = block[0]?.length ?? 0): void {
    for (let start = 0; start < frames; ) {
      const end = Math.min(frames, start + this.#hopLength - this.#framesInHop)
      for (let c = 0; c < this.#weights.length; c++) {
        this.#energy += this.#weights[c]! * this.#filteredEnergy(block[c]!, this.#memory[c]!, start, end)
      }
      this.#framesInHop += end - start
      start = end
      if (this.#framesInHop === this.#hopLength) this.#closeHop()
    }
  }

  /** LUFS; null where the standard gives no value: shorter than 400 ms, or nothing above -70 LUFS. */
  integratedLufs(): number | null {
    const blocks = this.#blockPowers()
    const loud = blocks.filter(power => lufsOf(power) > ABSOLUTE_GATE_LUFS)
    if (loud.length === 0) return null
    const gate = lufsOf(mean(loud)) - RELATIVE_GATE_LU
    const gated = loud.filter(power => lufsOf(power) > gate)
    return gated.length === 0 ? null : lufsOf(mean(gated))
  }

  #blockPowers(): Float64Array {
    const energies = this.#hopPowers.view()
    const frames = this.#hopFrames.view()
    const count = Math.max(0, energies.length - HOPS_PER_BLOCK + 1)
    return Float64Array.from({ length: count }, (_, i) => {
      let energy = 0
      let length = 0
      for (let k = i; k < i + HOPS_PER_BLOCK; k++) {
        energy += energies[k]!
        length += frames[k]!
      }
      return energy / length
    })
  }

  #closeHop(): void {
    this.#hopPowers.add(this.#energy)
    this.#hopFrames.add(this.#hopLength)
    this.#energy = 0
    this.#framesInHop = 0
    this.#hopLength = this.#lengthOfHop(this.#hopPowers.length)
    for (const memory of this.#memory) {
      for (let i = 0; i < memory.length; i++) if (Math.abs(memory[i]!) < SILENCE) memory[i] = 0
    }
  }

  // A tenth of a second is not a whole number of frames at every rate: the ends are rounded, not the length.
  #lengthOfHop(index: number): number {
    return Math.round(((index + 1) * this.#rate) / 10) - Math.round((index * this.#rate) / 10)
  }

  #filteredEnergy(samples: Float64Array, memory: Float64Array, start: number, end: number): number {
    const { shelf, highPass } = this.#coefficients
    const { b0, b1, b2, a1, a2 } = shelf
    const { b0: c0, b1: c1, b2: c2, a1: d1, a2: d2 } = highPass
    let m0 = memory[0]!
    let m1 = memory[1]!
    let m2 = memory[2]!
    let m3 = memory[3]!
    let energy = 0
    for (let i = start; i < end; i++) {
      const x = samples[i]!
      const y = b0 * x + m0
      m0 = b1 * x - a1 * y + m1
      m1 = b2 * x - a2 * y
      const z = c0 * y + m2
      m2 = c1 * y - d1 * z + m3
      m3 = c2 * y - d2 * z
      energy += z * z
    }
    memory[0] = m0
    memory[1] = m1
    memory[2] = m2
    memory[3] = m3
    return energy
  }
}

const mean = (values: Float64Array): number => {
  let sum = 0
  for (const value of values) sum += value
  return sum / values.length
}
