/** A copy whose lag changes during the take: `lagAt(seconds)` frames late, by a long windowed sinc, frame by frame. */
export const movedCopy = (
  signal: Float64Array,
  sampleRateHz: number,
  lagAt: (seconds: number) => number,
): Float64Array => {
  const half = 24
  const out = new Float64Array(signal.length)
  for (let n = 0; n < signal.length; n++) {
    const at = n - lagAt(n / sampleRateHz)
    const whole = Math.floor(at)
    const fraction = at - whole
    let sum = 0
    if (fraction < 1e-12) sum = signal[whole] ?? 0
    else {
      // sin(pi (fraction + k)) alternates in sign: one sine serves all taps.
      const s = Math.sin(Math.PI * fraction) / Math.PI
      for (let k = -half + 1; k <= half; k++) {
        const x = fraction - k
        const window = Math.cos((Math.PI * x) / (2 * half + 2))
        sum += (signal[whole + k] ?? 0) * (((k & 1) === 0 ? s : -s) / x) * window * window
      }
    }
    out[n] = sum
  }
  return out
}
