/** Seeded uniform numbers 0 … 1 (sfc32 on a hash of the seed): the same on every machine. */
export const random = (seed: number | string): (() => number) => {
  let [a, b, c] = stateOf(seed)
  let d = 1
  const next = () => {
    const t = (((a + b) | 0) + d) | 0
    d = (d + 1) | 0
    a = b ^ (b >>> 9)
    b = (c + (c << 3)) | 0
    c = (c << 21) | (c >>> 11)
    c = (c + t) | 0
    return (t >>> 0) / 4294967296
  }
  for (let i = 0; i < 16; i++) next()
  return next
}

const stateOf = (seed: number | string): [a: number, b: number, c: number] => {
  let h = 1779033703
  for (const c of String(seed)) {
    h = Math.imul(h ^ c.charCodeAt(0), 3432918353)
    h = (h << 13) | (h >>> 19)
  }
  return [h ^ 0x9e3779b9, Math.imul(h, 2246822519) ^ 0x243f6a88, Math.imul(h, 3266489917) ^ 0xb7e15162]
}

/** Seeded normal numbers, mean 0, variance 1 (polar method). */
export const gaussian = (seed: number | string): (() => number) => {
  const uniform = random(seed)
  let spare: number | null = null
  return () => {
    if (spare !== null) {
      const value = spare
      spare = null
      return value
    }
    for (;;) {
      const x = 2 * uniform() - 1
      const y = 2 * uniform() - 1
      const s = x * x + y * y
      if (s > 0 && s < 1) {
        const factor = Math.sqrt((-2 * Math.log(s)) / s)
        spare = y * factor
        return x * factor
      }
    }
  }
}

/** White Gaussian noise of variance 1: the numbers of `gaussian(seed)`, in one loop, since benches draw milliards of them. */
export const whiteNoise = (frames: number, seed: number | string): Float64Array => {
  const out = new Float64Array(frames)
  let [a, b, c] = stateOf(seed)
  let d = 1
  // Twice the next uniform number, less 1. The steps of `random`, on locals.
  const drop = 16
  for (let i = -drop, n = 0; n < frames; i++) {
    let t = (((a + b) | 0) + d) | 0
    d = (d + 1) | 0
    a = b ^ (b >>> 9)
    b = (c + (c << 3)) | 0
    c = (c << 21) | (c >>> 11)
    c = (c + t) | 0
    if (i < 0) continue
    const x = 2 * ((t >>> 0) / 4294967296) - 1
    t = (((a + b) | 0) + d) | 0
    d = (d + 1) | 0
    a = b ^ (b >>> 9)
    b = (c + (c << 3)) | 0
    c = (c << 21) | (c >>> 11)
    c = (c + t) | 0
    const y = 2 * ((t >>> 0) / 4294967296) - 1
    const s = x * x + y * y
    if (!(s > 0 && s < 1)) continue
    const factor = Math.sqrt((-2 * Math.log(s)) / s)
    out[n++] = x * factor
    if (n < frames) out[n++] = y * factor
  }
  return out
}
