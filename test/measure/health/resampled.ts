/**
 * What a recorder at another rate would have written of the same sound: frame n holds the signal at place `n * factor`. Direct
 * sum of a Hann-windowed sinc over 64 frames, written apart from src.
 */
export const resampled = (signal: Float64Array, factor: number): Float64Array =>
  Float64Array.from({ length: Math.floor(signal.length / factor) }, (_, n) => {
    const place = n * factor
    const band = Math.min(1, 1 / factor)
    let sum = 0
    for (let i = Math.ceil(place - 32); i <= place + 32; i++) {
      const x = place - i
      const angle = Math.PI * x * band
      const weight =
        (x === 0 ? band : Math.sin(angle) / (Math.PI * x)) * (0.5 + 0.5 * Math.cos((Math.PI * x) / 32))
      sum += weight * (signal[i] ?? 0)
    }
    return sum
  })
