/*
 * Twins of the kernels of fft.wat: the same operations in the same order, one number at a time. Points are interleaved, real part
 * first.
 */

/** From `x` to `y`; see `fftPass4`. `at`: where the twiddles of this pass begin in `twiddles`. */
export const pass4Plain = (
  x: Float64Array,
  y: Float64Array,
  n: number,
  s: number,
  twiddles: Float64Array,
  at: number,
): void => {
  const quarter = 2 * s * (n / 4)
  const step = 2 * s
  let from = 0
  let to = 0
  const end = at + 3 * n
  for (let t = at; t < end; t += 12) {
    const w1Re = twiddles[t]!
    const w1Im = twiddles[t + 3]!
    const w2Re = twiddles[t + 4]!
    const w2Im = twiddles[t + 7]!
    const w3Re = twiddles[t + 8]!
    const w3Im = twiddles[t + 11]!
    const rowEnd = from + step
    for (; from < rowEnd; from += 2, to += 2) {
      const aRe = x[from]!
      const aIm = x[from + 1]!
      const bRe = x[from + quarter]!
      const bIm = x[from + quarter + 1]!
      const cRe = x[from + 2 * quarter]!
      const cIm = x[from + 2 * quarter + 1]!
      const dRe = x[from + 3 * quarter]!
      const dIm = x[from + 3 * quarter + 1]!
      const sumRe = aRe + cRe
      const sumIm = aIm + cIm
      const differenceRe = aRe - cRe
      const differenceIm = aIm - cIm
      const sum2Re = bRe + dRe
      const sum2Im = bIm + dIm
      const turnedRe = -(bIm - dIm)
      const turnedIm = bRe - dRe
      y[to] = sumRe + sum2Re
      y[to + 1] = sumIm + sum2Im
      const pRe = differenceRe - turnedRe
      const pIm = differenceIm - turnedIm
      y[to + step] = pRe * w1Re + pIm * -w1Im
      y[to + step + 1] = pIm * w1Re + pRe * w1Im
      const qRe = sumRe - sum2Re
      const qIm = sumIm - sum2Im
      y[to + 2 * step] = qRe * w2Re + qIm * -w2Im
      y[to + 2 * step + 1] = qIm * w2Re + qRe * w2Im
      const rRe = differenceRe + turnedRe
      const rIm = differenceIm + turnedIm
      y[to + 3 * step] = rRe * w3Re + rIm * -w3Im
      y[to + 3 * step + 1] = rIm * w3Re + rRe * w3Im
    }
    to += 3 * step
  }
}

/** The last pass where four points are left. */
export const last4Plain = (x: Float64Array, y: Float64Array, s: number): void => {
  const step = 2 * s
  for (let i = 0; i < step; i += 2) {
    const aRe = x[i]!
    const aIm = x[i + 1]!
    const bRe = x[i + step]!
    const bIm = x[i + step + 1]!
    const cRe = x[i + 2 * step]!
    const cIm = x[i + 2 * step + 1]!
    const dRe = x[i + 3 * step]!
    const dIm = x[i + 3 * step + 1]!
    const sumRe = aRe + cRe
    const sumIm = aIm + cIm
    const differenceRe = aRe - cRe
    const differenceIm = aIm - cIm
    const sum2Re = bRe + dRe
    const sum2Im = bIm + dIm
    const turnedRe = -(bIm - dIm)
    const turnedIm = bRe - dRe
    y[i] = sumRe + sum2Re
    y[i + 1] = sumIm + sum2Im
    y[i + step] = differenceRe - turnedRe
    y[i + step + 1] = differenceIm - turnedIm
    y[i + 2 * step] = sumRe - sum2Re
    y[i + 2 * step + 1] = sumIm - sum2Im
    y[i + 3 * step] = differenceRe + turnedRe
    y[i + 3 * step + 1] = differenceIm + turnedIm
  }
}

/** The last pass where two points are left. */
export const last2Plain = (x: Float64Array, y: Float64Array, s: number): void => {
  const step = 2 * s
  for (let i = 0; i < step; i++) {
    const a = x[i]!
    const b = x[i + step]!
    y[i] = a + b
    y[i + step] = a - b
  }
}

/** Bins 1 … half - 1 of the real transform; see `fftUntangle`. */
export const untanglePlain = (
  packed: Float64Array,
  spectrum: Float64Array,
  half: number,
  turns: Float64Array,
): void => {
  for (let k = 1, m = half - 1; k <= m; k++, m--) {
    const aRe = packed[2 * k]!
    const aIm = packed[2 * k + 1]!
    const bRe = packed[2 * m]!
    const bIm = -packed[2 * m + 1]!
    const evenRe = (aRe + bRe) * 0.5
    const evenIm = (aIm + bIm) * 0.5
    const oddRe = (aIm - bIm) * 0.5
    const oddIm = -((aRe - bRe) * 0.5)
    const c = turns[4 * k]!
    const s = turns[4 * k + 2]!
    const turnedRe = oddRe * c + oddIm * s
    const turnedIm = oddIm * c + oddRe * -s
    spectrum[2 * k] = evenRe + turnedRe
    spectrum[2 * k + 1] = evenIm + turnedIm
    spectrum[2 * m] = evenRe - turnedRe
    spectrum[2 * m + 1] = -(evenIm - turnedIm)
  }
}
