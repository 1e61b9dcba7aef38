import { addFrames, filterFrames, filterStrided } from './fir.js'
import { addressOf, float64 } from './kernel/arena.js'

/** The end of a stream of which a `Decimator` makes its next outputs. The next output stands `factor * reach` frames after its beginning. */
export interface HeldLine {
  /** Puts `frames` frames behind the `held` that are there. */
  append(input: Float64Array, frames: number, held: number): void
  /** The next `count` outputs. */
  filter(output: Float64Array, count: number): void
  /** Lets go of the frames that only the first `count` outputs drew on; `held` are there. */
  drop(count: number, held: number): void
}

/** `tap(n)`: weight of the input n frames after an output. */
type Tap = (n: number) => number

/** Dealt out to `factor` streams. In the first all taps but the middle one are zeros of the sinc. */
export const dealtLine = (factor: number, reach: number, middle: number, tap: Tap): HeldLine => {
  const taps = Array.from({ length: factor - 1 }, (_, q) =>
    Float64Array.from({ length: 2 * reach }, (__, j) => tap((j - reach) * factor + q + 1)),
  )
  let streams = Array.from({ length: factor }, () => float64(4 * reach))
  let scratch: Float64Array = new Float64Array(0)
  return {
    append: (input, frames, held) => {
      const needed = Math.ceil((held + frames) / factor)
      if (needed > streams[0]!.length) streams = streams.map(stream => longer(stream, 2 * needed))
      for (let q = 0; q < factor; q++) {
        // First frame of this push that falls to stream q.
        const stream = streams[(held + q) % factor]!
        let place = Math.floor((held + q) / factor)
        for (let i = q; i < frames; i += factor) stream[place++] = input[i]!
      }
    },
    filter: (output, count) => {
      if (scratch.length < count) scratch = float64(count)
      const whole = streams[0]!
      for (let i = 0; i < count; i++) output[i] = middle * whole[i + reach]!
      for (let q = 1; q < factor; q++) {
        filterFrames(taps[q - 1]!, streams[q]!, 0, scratch, count)
        addFrames(output, scratch, count)
      }
    },
    drop: (count, held) => {
      for (const stream of streams) stream.copyWithin(0, count, Math.ceil(held / factor))
    },
  }
}

/** As it is. */
export const oneLine = (factor: number, reach: number, tap: Tap): HeldLine => {
  const lead = factor * reach
  const taps = float64(2 * lead)
  for (let i = 1; i < taps.length; i++) taps[i] = tap(i - lead)
  let line = float64(4 * lead)
  let made = float64(1)
  return {
    append: (input, frames, held) => {
      if (held + frames > line.length) line = longer(line, 2 * (held + frames))
      line.set(frames === input.length ? input : input.subarray(0, frames), held)
    },
    filter: (output, count) => {
      if (addressOf(output) >= 0) filterStrided(taps, line, factor, output, count)
      else {
        // Where the kernel can reach it first.
        if (made.length < count) made = float64(count)
        filterStrided(taps, line, factor, made, count)
        output.set(made.subarray(0, count))
      }
    },
    drop: (count, held) => {
      line.copyWithin(0, count * factor, held)
    },
  }
}

const longer = (samples: Float64Array, length: number): Float64Array => {
  const larger = float64(length)
  larger.set(samples)
  return larger
}
