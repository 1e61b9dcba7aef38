/**
 * Filters `samples[start … end - 1]` by both sections of the K-weighting and adds the energy of what comes out. `sections`: b0, b1, b2, a1,
 * a2, each of the first section and of the second. `memory`, read and written: the last two frames of input, middle and output, then the
 * energy so far.
 */
export type KWeigh = (
  samples: Float64Array,
  start: number,
  end: number,
  sections: Float64Array,
  memory: Float64Array,
) => void

/** Twin of src/signal/kernel/loudness.wat: the same operations in the same order. */
export const kWeighPlain: KWeigh = (samples, start, end, sections, memory) => {
  const [b0, c0, b1, c1, b2, c2, a1, d1, a2, d2] = sections as unknown as Tuple
  let x1 = memory[0]!
  let x2 = memory[1]!
  let y1 = memory[2]!
  let y2 = memory[3]!
  let z1 = memory[4]!
  let z2 = memory[5]!
  let energy = memory[6]!
  // What is known last is subtracted last, which shortens the chain that each frame waits for.
  for (let i = start; i < end; i++) {
    const x = samples[i]!
    const y = b0 * x + b1 * x1 + b2 * x2 - a2 * y2 - a1 * y1
    const z = c0 * y + c1 * y1 + c2 * y2 - d2 * z2 - d1 * z1
    x2 = x1
    x1 = x
    y2 = y1
    y1 = y
    z2 = z1
    z1 = z
    energy += z * z
  }
  memory[0] = x1
  memory[1] = x2
  memory[2] = y1
  memory[3] = y2
  memory[4] = z1
  memory[5] = z2
  memory[6] = energy
}

type Tuple = [number, number, number, number, number, number, number, number, number, number]
