/* Twins of the kernels of single-fft.wat: the same operations in the same order, each rounded to single precision. */

const f = Math.fround

/**
 * A pass of radix 4 from `x` to `y`, real parts in front and imaginary parts `apart` numbers behind; see `singlePass4`. The first pass,
 * `s` = 1, keeps its twiddles four by four.
 */
export const singlePass4Plain = (
  x: Float32Array,
  y: Float32Array,
  apart: number,
  n: number,
  s: number,
  twiddles: Float32Array,
  at: number,
): void => {
  const quarter = (s * n) / 4
  for (let p = 0; p < n / 4; p++) {
    const t = s === 1 ? at + 24 * (p >> 2) + (p & 3) : at + 6 * p
    const step = s === 1 ? 4 : 1
    const w1r = twiddles[t]!
    const w1i = twiddles[t + step]!
    const w2r = twiddles[t + 2 * step]!
    const w2i = twiddles[t + 3 * step]!
    const w3r = twiddles[t + 4 * step]!
    const w3i = twiddles[t + 5 * step]!
    for (let q = 0; q < s; q++) {
      const a = p * s + q
      const b = a + quarter
      const c = b + quarter
      const d = c + quarter
      const sr = f(x[a]! + x[c]!)
      const dr = f(x[a]! - x[c]!)
      const si = f(x[apart + a]! + x[apart + c]!)
      const di = f(x[apart + a]! - x[apart + c]!)
      const tr = f(x[b]! + x[d]!)
      const ur = f(x[b]! - x[d]!)
      const ti = f(x[apart + b]! + x[apart + d]!)
      const ui = f(x[apart + b]! - x[apart + d]!)
      const to = 4 * p * s + q
      y[to] = f(sr + tr)
      y[apart + to] = f(si + ti)
      turn(y, apart, to + s, f(dr + ui), f(di - ur), w1r, w1i)
      turn(y, apart, to + 2 * s, f(sr - tr), f(si - ti), w2r, w2i)
      turn(y, apart, to + 3 * s, f(dr - ui), f(di + ur), w3r, w3i)
    }
  }
}

const turn = (
  y: Float32Array,
  apart: number,
  to: number,
  pr: number,
  pi: number,
  wr: number,
  wi: number,
): void => {
  y[to] = f(f(pr * wr) - f(pi * wi))
  y[apart + to] = f(f(pr * wi) + f(pi * wr))
}

/** Twin of the kernel `singleLast2`: the last stage of a transform whose length is an odd power of two. `apart`: as above. */
export const singleLast2Plain = (x: Float32Array, y: Float32Array, half: number, apart: number): void => {
  const s = half / 2
  for (let part = 0; part <= apart; part += apart) {
    for (let i = part; i < part + s; i++) {
      const a = x[i]!
      const b = x[i + s]!
      y[i] = f(a + b)
      y[i + s] = f(a - b)
    }
  }
}

/**
 * Bins 1 … half - 1; see `singleUntangle`. `packedApart`, `apart`: from a real part of what is untangled, and of the spectrum, to its imaginary
 * part.
 */
export const singleUntanglePlain = (
  packed: Float32Array,
  packedApart: number,
  spectrum: Float32Array,
  apart: number,
  half: number,
  turns: Float32Array,
): void => {
  for (let k = 1; k <= half / 2; k++) {
    const m = half - k
    const kr = packed[k]!
    const ki = packed[packedApart + k]!
    const mr = packed[m]!
    const mi = packed[packedApart + m]!
    const er = f(0.5 * f(kr + mr))
    const ei = f(0.5 * f(ki - mi))
    const or = f(0.5 * f(ki + mi))
    const oi = f(0.5 * f(mr - kr))
    const c = turns[k - 1]!
    const s = turns[half / 2 + k - 1]!
    const tr = f(f(or * c) + f(oi * s))
    const ti = f(f(oi * c) - f(or * s))
    spectrum[m] = f(er - tr)
    spectrum[apart + m] = f(ti - ei)
    spectrum[k] = f(er + tr)
    spectrum[apart + k] = f(ei + ti)
  }
}
