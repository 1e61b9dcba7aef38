import * as portable from '../../terms/portable.js'
/**
 * A cross-spectrum as it would be had the second trace come `lagSamples` earlier: bin k times `e^(j 2 pi k lag / fftSize)`.
 * The factor is made by repeated multiplication, renewed every 256 bins; error under 1e-13.
 */
export const turnedBy = (
  cross: Float32Array | Float64Array,
  lagSamples: number,
  fftSize: number,
): Float64Array => {
  const out = new Float64Array(cross.length)
  turnInto(cross, lagSamples, fftSize, out)
  return out
}

/** The same into an array in hand; `out` may be `cross` itself. */
export const turnInto = (
  cross: Float32Array | Float64Array,
  lagSamples: number,
  fftSize: number,
  out: Float64Array,
): void => {
  const step = (2 * Math.PI * lagSamples) / fftSize
  const stepRe = portable.cos(step)
  const stepIm = portable.sin(step)
  let re = 1
  let im = 0
  for (let k = 0; 2 * k < cross.length; k++) {
    if ((k & 255) === 0) {
      re = portable.cos(step * k)
      im = portable.sin(step * k)
    }
    const a = cross[2 * k]!
    const b = cross[2 * k + 1]!
    out[2 * k] = a * re - b * im
    out[2 * k + 1] = a * im + b * re
    const next = re * stepRe - im * stepIm
    im = re * stepIm + im * stepRe
    re = next
  }
}
