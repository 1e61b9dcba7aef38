import { addressOf, keepFloat64 } from './kernel/arena.js'
import { type Kernels, kernels } from './kernel/kernels.js'
import { filterFramesPlain, filterStridedPlain } from './plain/fir.js'

/**
 * The inner loop of every filter with finite response here: `output[i] = sum over k of taps[k] * input[inputStart + i + k]`
 * for the first `count` outputs. The taps run forwards with the input (a correlation).
 *
 * `taps.length` is a multiple of 4. Each output adds its products in the order of the taps, so the bits of a result depend neither on
 * where a block begins nor on whether the kernel or its twin made them. Input and output must not overlap. The caller checks
 * lengths: the last input read is `inputStart + count + taps.length - 2`.
 */
export const filterFrames = (
  taps: Float64Array,
  input: Float64Array,
  inputStart: number,
  output: Float64Array,
  count: number,
): void => {
  const work = workSpace()
  if (work === null || taps.length > MOST_TAPS) filterFramesPlain(taps, input, inputStart, output, count)
  else filterByKernel(work, taps, input, inputStart, output, count)
}

const MOST_TAPS = 4096
const CHUNK = 8192

interface WorkSpace {
  readonly run: Kernels
  readonly taps: Float64Array
  readonly input: Float64Array
  readonly output: Float64Array
}

let made: WorkSpace | null | undefined

const workSpace = (): WorkSpace | null => {
  if (made === undefined) {
    const run = kernels()?.run
    const taps = keepFloat64(MOST_TAPS)
    const input = keepFloat64(CHUNK + MOST_TAPS)
    const output = keepFloat64(CHUNK)
    made =
      run === undefined || taps === null || input === null || output === null
        ? null
        : { run, taps, input, output }
  }
  return made
}

const filterByKernel = (
  work: WorkSpace,
  taps: Float64Array,
  input: Float64Array,
  inputStart: number,
  output: Float64Array,
  count: number,
): void => {
  const { run } = work
  const inputAt = addressOf(input)
  const outputAt = addressOf(output)
  work.taps.set(taps)
  const tapsAt = work.taps.byteOffset
  if (inputAt >= 0 && outputAt >= 0) {
    run.fir(tapsAt, taps.length, inputAt + 8 * inputStart, outputAt, count)
    return
  }
  for (let done = 0; done < count; done += CHUNK) {
    const frames = Math.min(CHUNK, count - done)
    const from = inputStart + done
    let at = inputAt + 8 * from
    if (inputAt < 0) {
      work.input.set(input.subarray(from, from + frames + taps.length - 1))
      at = work.input.byteOffset
    }
    run.fir(tapsAt, taps.length, at, outputAt < 0 ? work.output.byteOffset : outputAt + 8 * done, frames)
    if (outputAt < 0) output.set(work.output.subarray(0, frames), done)
  }
}

/** `output[i] += more[i]` for the first `count` frames. */
export const addFrames = (output: Float64Array, more: Float64Array, count: number): void => {
  const run = addressOf(output) < 0 || addressOf(more) < 0 ? null : (kernels()?.run ?? null)
  if (run !== null) run.addFrames(output.byteOffset, more.byteOffset, count)
  else for (let i = 0; i < count; i++) output[i] = output[i]! + more[i]!
}

/**
 * `output[i] = sum over k of taps[k] * input[i * factor + k]` for the first `count` outputs, in four sums, of every fourth tap each.
 * `taps.length` is a multiple of 4. Input and output must not overlap.
 */
export const filterStrided = (
  taps: Float64Array,
  input: Float64Array,
  factor: number,
  output: Float64Array,
  count: number,
): void => {
  const inside = addressOf(taps) >= 0 && addressOf(input) >= 0 && addressOf(output) >= 0
  const run = inside ? kernels()?.run : undefined
  if (run === undefined) filterStridedPlain(taps, input, factor, output, count)
  else run.strided(taps.byteOffset, taps.length, input.byteOffset, 8 * factor, output.byteOffset, count)
}
