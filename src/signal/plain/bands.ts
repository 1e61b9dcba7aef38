/**
 * Twin of src/signal/kernel/bands.wat: the same operations in the same order, one band after the other. Sections share their memory: the past
 * output of one is the past input of the next. What is known last is subtracted last, which shortens the chain that each frame waits for.
 */
export const bandPairPlain = (
  samples: Float64Array,
  start: number,
  end: number,
  sections: Float64Array,
  memory: Float64Array,
): void => {
  for (let band = 0; band < 2; band++) runBand(samples, start, end, sections, memory, band)
}

const runBand = (
  samples: Float64Array,
  start: number,
  end: number,
  sections: Float64Array,
  memory: Float64Array,
  band: number,
): void => {
  const [a1, a2, b1, b2, c1, c2, d1, d2] = everySecond(sections, band)
  let [x1, x2, t1, t2, u1, u2, v1, v2, w1, w2, energy] = everySecond(memory, band)
  for (let i = start; i < end; i++) {
    const x = samples[i]!
    const t = x - x2 - a2 * t2 - a1 * t1
    const u = t - t2 - b2 * u2 - b1 * u1
    const v = u - u2 - c2 * v2 - c1 * v1
    const w = v - v2 - d2 * w2 - d1 * w1
    x2 = x1
    x1 = x
    t2 = t1
    t1 = t
    u2 = u1
    u1 = u
    v2 = v1
    v1 = v
    w2 = w1
    w1 = w
    energy += w * w
  }
  ;[x1, x2, t1, t2, u1, u2, v1, v2, w1, w2, energy].forEach((value, i) => {
    memory[2 * i + band] = value
  })
}

type Eleven = [number, number, number, number, number, number, number, number, number, number, number]

const everySecond = (numbers: Float64Array, first: number): Eleven =>
  Array.from({ length: 11 }, (_, i) => numbers[2 * i + first] ?? 0) as Eleven
