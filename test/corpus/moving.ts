const HALF = 24

/** Window of the sinc at `x` frames from its middle: cos²(pi x / (2 HALF + 2)), told by the angles of the fraction and of the tap. */
const TAPS = Array.from({ length: 2 * HALF }, (_, i) => {
  const k = i - HALF + 1
  const angle = (Math.PI * k) / (HALF + 1)
  return { k, cos: Math.cos(angle), sin: Math.sin(angle), sign: (k & 1) === 0 ? 1 : -1 }
})

/** A copy whose lag changes during the take: `lagAt(seconds)` frames late, by a long windowed sinc, frame by frame. */
export const movedCopy = (
  signal: Float64Array,
  sampleRateHz: number,
  lagAt: (seconds: number) => number,
): Float64Array => {
  const out = new Float64Array(signal.length)
  const weights = new Float64Array(TAPS.length)
  let known = -1
  for (let n = 0; n < signal.length; n++) {
    const at = n - lagAt(n / sampleRateHz)
    const whole = Math.floor(at)
    const fraction = at - whole
    if (fraction < 1e-12) {
      out[n] = signal[whole] ?? 0
      continue
    }
    if (Math.abs(fraction - known) > 1e-9) {
      weigh(fraction, weights)
      known = fraction
    }
    let sum = 0
    const first = whole - HALF + 1
    if (first >= 0 && first + weights.length <= signal.length) {
      for (let i = 0; i < weights.length; i++) sum += signal[first + i]! * weights[i]!
    } else for (let i = 0; i < weights.length; i++) sum += (signal[first + i] ?? 0) * weights[i]!
    out[n] = sum
  }
  return out
}

// sin(pi (fraction - k)) alternates in sign, and the window splits by the sum of angles: one sine and one cosine serve all taps.
const weigh = (fraction: number, weights: Float64Array): void => {
  const s = Math.sin(Math.PI * fraction) / Math.PI
  const c = Math.cos((Math.PI * fraction) / (HALF + 1))
  const d = Math.sin((Math.PI * fraction) / (HALF + 1))
  TAPS.forEach((tap, i) => {
    weights[i] = ((tap.sign * s) / (fraction - tap.k)) * (0.5 + 0.5 * (c * tap.cos + d * tap.sin))
  })
}
