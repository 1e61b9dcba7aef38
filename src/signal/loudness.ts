import * as portable from '../terms/portable.js'
import { GrowingArray } from './growing-array.js'
import { kWeighting } from './k-weighting.js'
import { type KWeigh, kWeighPlain } from './plain/loudness.js'

const ABSOLUTE_GATE_LUFS = -70
const RELATIVE_GATE_LU = 10
const HOPS_PER_BLOCK = 4
/** EBU Tech 3341: the short-term loudness looks at 3 s. */
const HOPS_PER_SHORT_TERM = 30
/** EBU Tech 3342: what lies this far under the mean of the short-term loudness does not count for the range, nor do the ends of the rest. */
const RANGE_GATE_LU = 20
const RANGE_FROM = 0.1
const RANGE_TO = 0.95
// Filter memory below this is silence; clearing it keeps the processor off its slow path for tiny numbers.
const SILENCE = 1e-40

/** How the inner loop is run, and where its numbers lie. */
export interface LoudnessTools {
  readonly weigh: KWeigh
  readonly numbers: (length: number) => Float64Array
}

const PLAIN_TOOLS: LoudnessTools = { weigh: kWeighPlain, numbers: length => new Float64Array(length) }

const lufsOf = (power: number): number => -0.691 + 10 * portable.log10(power)

/**
 * Integrated loudness after ITU-R BS.1770-4/-5, annex 1, as a stream: K-weighting, blocks of 400 ms every 100 ms, absolute
 * gate at -70 LUFS, relative gate 10 LU below what is left. Any rate from 8 to 384 kHz.
 *
 * One channel counts once: a mono file reads 3.01 LU lower than the same sound on both sides of a stereo file. Memory: one
 * number per 100 ms.
 */
export class LoudnessMeter {
  readonly #weights: Float64Array
  readonly #sections: Float64Array
  readonly #memory: Float64Array[]
  readonly #weigh: KWeigh
  readonly #rate: number
  readonly #hopPowers = new GrowingArray()
  readonly #hopFrames = new GrowingArray()
  #framesInHop = 0
  #hopLength: number

  /**
   * `weights`: one factor per channel, 1 for left, right, centre and mono, 1.41 for surrounds; all 1 by default. `tools`: see
   * `fast-loudness.ts`, which is quicker and changes no bit; left out in the page of the report.
   */
  constructor(
    sampleRateHz: number,
    channels: number,
    weights?: readonly number[],
    tools: LoudnessTools = PLAIN_TOOLS,
  ) {
    this.#rate = sampleRateHz
    this.#weights = Float64Array.from({ length: channels }, (_, c) => weights?.[c] ?? 1)
    this.#sections = tools.numbers(10)
    const { shelf, highPass } = kWeighting(sampleRateHz)
    this.#sections.set(
      (['b0', 'b1', 'b2', 'a1', 'a2'] as const).flatMap(name => [shelf[name], highPass[name]]),
    )
    this.#memory = Array.from({ length: channels }, () => tools.numbers(7))
    this.#weigh = tools.weigh
    this.#hopLength = this.#lengthOfHop(0)
  }

  /** `block`: one array per channel, full scale 1; the first `frames` of each are used, by default all. */
  push(block: readonly Float64Array[], frames = block[0]?.length ?? 0): void {
    for (let start = 0; start < frames; ) {
      const end = Math.min(frames, start + this.#hopLength - this.#framesInHop)
      for (let c = 0; c < this.#weights.length; c++) {
        this.#weigh(block[c]!, start, end, this.#sections, this.#memory[c]!)
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

  /** Largest loudness of any 400 ms (EBU Tech 3341), LUFS; null where the file is shorter, or silent. */
  momentaryLufs(): number | null {
    return loudest(this.#blockPowers())
  }

  /** Largest loudness of any 3 s, LUFS; null where the file is shorter, or silent. */
  shortTermLufs(): number | null {
    return loudest(this.#blockPowers(HOPS_PER_SHORT_TERM))
  }

  /** Loudness range after EBU Tech 3342, LU: how far apart the quiet and the loud stretches of 3 s are. Null where there is none. */
  rangeLu(): number | null {
    const loud = this.#blockPowers(HOPS_PER_SHORT_TERM).filter(power => lufsOf(power) > ABSOLUTE_GATE_LUFS)
    if (loud.length === 0) return null
    const gate = lufsOf(mean(loud)) - RANGE_GATE_LU
    const gated = loud.filter(power => lufsOf(power) > gate).sort()
    const at = (share: number): number => lufsOf(gated[Math.round((gated.length - 1) * share)]!)
    return at(RANGE_TO) - at(RANGE_FROM)
  }

  #blockPowers(hops = HOPS_PER_BLOCK): Float64Array {
    const energies = this.#hopPowers.view()
    const frames = this.#hopFrames.view()
    const count = Math.max(0, energies.length - hops + 1)
    return Float64Array.from({ length: count }, (_, i) => {
      let energy = 0
      let length = 0
      for (let k = i; k < i + hops; k++) {
        energy += energies[k]!
        length += frames[k]!
      }
      return energy / length
    })
  }

  #closeHop(): void {
    let energy = 0
    this.#memory.forEach((memory, c) => {
      energy += this.#weights[c]! * memory[6]!
      memory[6] = 0
    })
    this.#hopPowers.add(energy)
    this.#hopFrames.add(this.#hopLength)
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
}

const loudest = (powers: Float64Array): number | null => {
  const most = powers.reduce((a, b) => Math.max(a, b), 0)
  return most === 0 ? null : lufsOf(most)
}

const mean = (values: Float64Array): number => {
  let sum = 0
  for (const value of values) sum += value
  return sum / values.length
}
