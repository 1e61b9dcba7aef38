import { addressOf, keepFloat64 } from './kernel/arena.js'
import { type Kernels, kernels } from './kernel/kernels.js'
import {
  addCrossPlain,
  addPowerPlain,
  applyWindowPlain,
  moveIntoPlain,
  takeMeanOffPlain,
} from './plain/spectral-sums.js'

/*
 * The inner loops of averaged spectra. Spectra are interleaved, as `RealFft.forward` gives them. Where all arrays lie in the kernel
 * memory the kernels run, else their twins; the bits are the same.
 */

const kernelFor = (...arrays: readonly Float64Array[]): Kernels | null =>
  arrays.every(array => addressOf(array) >= 0) ? (kernels()?.run ?? null) : null

/** `sums[k] += weight * |X[k]|^2` for the bins `from … to - 1`, all by default. Returns the sum of what was added. */
export const addPower = (
  spectrum: Float64Array,
  sums: Float64Array,
  weight = 1,
  from = 0,
  to = sums.length,
): number => {
  const run = kernelFor(spectrum, sums)
  if (run === null) return addPowerPlain(spectrum, from, to, weight, sums)
  return run.addPower(spectrum.byteOffset + 16 * from, to - from, weight, sums.byteOffset + 8 * from)
}

/** `sums += conj(X) Y` for every bin, `sums` interleaved too. */
export const addCross = (x: Float64Array, y: Float64Array, sums: Float64Array): void => {
  const run = kernelFor(x, y, sums)
  if (run === null) addCrossPlain(x, y, sums)
  else run.addCross(x.byteOffset, y.byteOffset, sums.length / 2, sums.byteOffset)
}

/**
 * The same for four frames one after the other, for the bins `from … to - 1`; `x` and `y` hold the spectra of the frames `stride` numbers
 * apart.
 */
export const addCrossOfFour = (
  x: Float64Array,
  y: Float64Array,
  stride: number,
  sums: Float64Array,
  from: number,
  to: number,
): void => {
  const run = kernelFor(x, y, sums)
  if (run !== null) {
    const at = 16 * from
    run.addCross4(x.byteOffset + at, y.byteOffset + at, 8 * stride, to - from, sums.byteOffset + at)
    return
  }
  const part = sums.subarray(2 * from, 2 * to)
  for (let frame = 0; frame < 4; frame++) {
    const at = frame * stride
    addCrossPlain(x.subarray(at + 2 * from, at + 2 * to), y.subarray(at + 2 * from, at + 2 * to), part)
  }
}

/** What `applyWindow` found. */
export interface Windowed {
  /** Sum of the squares of the product, and of the product itself. */
  energy: number
  sum: number
}

let results: Float64Array | null | undefined

/** `into[n] = window[n] * samples[start + n]` for the whole window. What comes behind it in `into` is left as it is. */
export const applyWindow = (
  window: Float64Array,
  samples: Float64Array,
  start: number,
  into: Float64Array,
): Windowed => {
  if (results === undefined) results = keepFloat64(2)
  const found = results ?? new Float64Array(2)
  const whole = window.length - (window.length % 4)
  const run = results === null ? null : kernelFor(window, samples, into)
  if (run === null) applyWindowPlain(window, samples, start, into, whole, found)
  else {
    const samplesAt = samples.byteOffset + 8 * start
    run.applyWindow(window.byteOffset, samplesAt, into.byteOffset, whole, found.byteOffset)
  }
  let energy = found[0]!
  let sum = found[1]!
  for (let n = whole; n < window.length; n++) {
    const value = window[n]! * samples[start + n]!
    into[n] = value
    energy += value * value
    sum += value
  }
  return { energy, sum }
}

/** `frame[n] -= mean * window[n]`: what the window leaves of a constant is taken off a windowed frame. */
export const takeMeanOff = (frame: Float64Array, window: Float64Array, mean: number): void => {
  const run = kernelFor(frame, window)
  const { length } = window
  if (run === null) takeMeanOffPlain(frame, window, mean)
  else {
    run.takeMeanOff(frame.byteOffset, window.byteOffset, length - (length % 2), mean)
    if (length % 2 === 1) frame[length - 1] = frame[length - 1]! - mean * window[length - 1]!
  }
}

/** Adds `part` to `total`, one length, and sets it to zeros. */
export const moveInto = (total: Float64Array, part: Float64Array): void => {
  const run = kernelFor(total, part)
  if (run === null) moveIntoPlain(total, part)
  else run.moveInto(total.byteOffset, part.byteOffset, total.length)
}
