import { addressOf, keepFloat64 } from './kernel/arena.js'
import { type Kernels, kernels } from './kernel/kernels.js'
import {
  moveIntoPlain,
  singleCross4Plain,
  singleMeanOffPlain,
  singlePowerPlain,
  singleWindowPlain,
} from './plain/single-sums.js'

/*
 * The inner loops of averaged spectra in single precision. Spectra are laid out as `SingleFft.forward` gives them; sums are doubles, laid
 * out alike. Where all arrays lie in the kernel memory the kernels run, else their twins; the bits are the same.
 */

const kernelFor = (...arrays: readonly ArrayBufferView[]): Kernels | null =>
  arrays.every(array => addressOf(array) >= 0) ? (kernels()?.run ?? null) : null

/** What `windowInto` found. */
export interface Windowed {
  /** Sum of the squares of the product, and of the product itself. */
  readonly energy: number
  readonly sum: number
}

let results: Float64Array | null | undefined

/** `window[n] * samples[start + n]` for the whole window into a `SingleFft.frame`; zeros behind it. */
export const windowInto = (
  window: Float64Array,
  samples: Float64Array,
  start: number,
  frame: Float32Array,
): Windowed => {
  if (results === undefined) results = keepFloat64(2)
  const found = results ?? new Float64Array(2)
  const apart = frame.length / 2
  const { length } = window
  const whole = length - (length % 4)
  const run = results === null ? null : kernelFor(window, samples, frame)
  if (run === null) singleWindowPlain(window, samples, start, frame, apart, whole, found)
  else {
    const samplesAt = samples.byteOffset + 8 * start
    run.singleWindow(window.byteOffset, samplesAt, frame.byteOffset, 4 * apart, whole, found.byteOffset)
  }
  let energy = found[0]!
  let sum = found[1]!
  for (let n = whole; n < length; n++) {
    const value = window[n]! * samples[start + n]!
    frame[(n >> 1) + (n & 1) * apart] = value
    energy += value * value
    sum += value
  }
  frame.fill(0, (length + 1) >> 1, apart)
  frame.fill(0, apart + (length >> 1))
  return { energy, sum }
}

/** `frame -= mean * window`, both laid out as a `SingleFft.frame`: what the window leaves of a constant is taken off. */
export const meanOff = (frame: Float32Array, window: Float32Array, mean: number): void => {
  const run = kernelFor(frame, window)
  const { length } = window
  const rounded = Math.fround(mean)
  const whole = run === null ? 0 : length - (length % 4)
  if (run !== null) run.singleMeanOff(frame.byteOffset, window.byteOffset, whole, rounded)
  singleMeanOffPlain(frame, window, whole, length - whole, rounded)
}

/** `sums[k] += weight * |X[k]|^2` for the bins `from … to - 1`. Returns the sum of what was added. */
export const powerInto = (
  spectrum: Float32Array,
  sums: Float64Array,
  weight = 1,
  from = 0,
  to = sums.length,
): number => {
  const apart = spectrum.length / 2
  const run = kernelFor(spectrum, sums)
  if (run === null) return singlePowerPlain(spectrum, apart, from, to, weight, sums)
  const whole = (to - from) & -4
  const at = spectrum.byteOffset + 4 * from
  let energy = run.singlePower(at, 4 * apart, whole, weight, sums.byteOffset + 8 * from)
  for (let k = from + whole; k < to; k++) {
    const re = Math.fround(spectrum[k]! * spectrum[k]!)
    const im = Math.fround(spectrum[apart + k]! * spectrum[apart + k]!)
    const value = weight * Math.fround(re + im)
    sums[k] = sums[k]! + value
    energy += value
  }
  return energy
}

/** Frames that are added at a time. */
export const BATCH = 4

/**
 * `sums += conj(X) Y` over four frames, for the bins `from … to - 1`, whose number is a multiple of 4. `x` and `y` hold four spectra one
 * behind the other; `sums` is laid out as one of them.
 */
export const crossInto = (
  x: Float32Array,
  y: Float32Array,
  sums: Float64Array,
  from = 0,
  to = sums.length / 2,
): void => {
  const stride = x.length / BATCH
  const apart = stride / 2
  const run = kernelFor(x, y, sums)
  if (run === null) {
    singleCross4Plain(x, y, stride, apart, sums, from, to)
    return
  }
  const at = 4 * from
  const sumsAt = sums.byteOffset + 8 * from
  run.singleCross4(x.byteOffset + at, y.byteOffset + at, 4 * stride, 4 * apart, to - from, sumsAt, 8 * apart)
}

/** Adds `part` to `total`, one length, and sets it to zeros. */
export const moveInto = (total: Float64Array, part: Float64Array): void => {
  const run = kernelFor(total, part)
  if (run === null) moveIntoPlain(total, part)
  else run.moveInto(total.byteOffset, part.byteOffset, total.length)
}
