import FFT from 'fft.js'

/** Complex transform by the package itself, without our wrapper: what the tests check against stays independent of src. */
const transforms = new Map<number, FFT>()
const transformOf = (size: number): FFT => {
  const known = transforms.get(size)
  if (known) return known
  const made = new FFT(size)
  transforms.set(size, made)
  return made
}

export const powerOfTwoAtLeast = (length: number): number => {
  let size = 2
  while (size < length) size *= 2
  return size
}

/** Forward transform of interleaved complex numbers. */
export const complexTransform = (input: Float64Array): Float64Array => {
  const out = new Float64Array(input.length)
  transformOf(input.length / 2).transform(out, input)
  return out
}

/** Inverse of it, divided by the number of points. */
export const inverseComplexTransform = (input: Float64Array): Float64Array => {
  const out = new Float64Array(input.length)
  transformOf(input.length / 2).inverseTransform(out, input)
  return out
}

/**
 * A signal through a response given by its value at every frequency: circular over the next power of two after `padding`
 * frames of silence, so that nothing wraps as long as the response is shorter than that.
 */
export const through = (
  signal: Float64Array,
  sampleRateHz: number,
  padding: number,
  response: (frequencyHz: number) => readonly [re: number, im: number],
): Float64Array => {
  const size = powerOfTwoAtLeast(signal.length + 2 * padding)
  const fft = transformOf(size)
  const input = new Float64Array(2 * size)
  for (let n = 0; n < signal.length; n++) input[2 * n] = signal[n]!
  const spectrum = new Float64Array(2 * size)
  fft.transform(spectrum, input)
  for (let k = 0; k <= size / 2; k++) {
    const [re, im] = response((k * sampleRateHz) / size)
    const a = spectrum[2 * k]!
    const b = spectrum[2 * k + 1]!
    spectrum[2 * k] = a * re - b * im
    spectrum[2 * k + 1] = k === 0 || k === size / 2 ? 0 : a * im + b * re
    if (k > 0 && k < size / 2) {
      spectrum[2 * (size - k)] = spectrum[2 * k]!
      spectrum[2 * (size - k) + 1] = -spectrum[2 * k + 1]!
    }
  }
  fft.inverseTransform(input, spectrum)
  return Float64Array.from({ length: signal.length }, (_, n) => input[2 * n]!)
}

/** Later by any number of frames, exactly (phase ramp); silence comes in at the front, the end is lost. May be negative. */
export const delayed = (signal: Float64Array, frames: number): Float64Array =>
  through(signal, 1, Math.ceil(Math.abs(frames)) + 4096, f => [
    Math.cos(2 * Math.PI * f * frames),
    -Math.sin(2 * Math.PI * f * frames),
  ])
