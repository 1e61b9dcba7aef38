import type { ChannelSelection } from '../../recipe/session.js'
import { Decimator } from '../../signal/decimate.js'
import { float32, float64, memoryFor } from '../../signal/kernel/arena.js'
import { interrupted } from '../../terms/interrupted.js'
import type { Task } from '../../terms/task.js'
import { openSource } from '../../wave/source-reader.js'
import { packWhole } from '../listen/whole-packer.js'

export interface WaveformInput {
  readonly file: string
  readonly selection: ChannelSelection
  /** One value for so many frames, 2 or more. */
  readonly everyFrames: number
}

export interface CoarseSound {
  readonly values: number
  readonly step: number
  /** Largest magnitude in each tenth of a second, 1 = full scale. */
  readonly peaks: readonly number[]
  readonly bytes: Uint8Array
}

/** Share of the band of the values that stays as it is. */
export const KEPT_BAND = 0.75
/** What folds into that band is 50 dB down: less than a line's width in any drawing of it. */
const ATTENUATION_DB = 50
/** From zero to the largest value, steps: a moment at a twelfth of that is still drawn in twenty. */
const STEPS = 256
const BLOCK_FRAMES = 65_536

/** Of `peaks`. */
export const PEAKS_A_SECOND = 10

/** The first channel of a recording at few values a second. Throws what reading a file throws, and INTERRUPTED. */
export const waveform: Task<WaveformInput, CoarseSound> = ({ file, selection, everyFrames }, context) => {
  const reader = openSource(file, selection)
  try {
    const { frames, sampleRateHz } = reader.facts
    const decimator = new Decimator(everyFrames, { bandFraction: KEPT_BAND, attenuationDb: ATTENUATION_DB })
    const input = Array.from({ length: reader.channels }, () => float64(BLOCK_FRAMES))
    const output = float64(decimator.outputLength(BLOCK_FRAMES + decimator.halfLength))
    const coarse = float32(Math.ceil(frames / everyFrames))
    let count = 0
    const keep = (made: number): void => {
      coarse.set(output.subarray(0, Math.min(made, coarse.length - count)), count)
      count += made
    }
    for (let at = 0; at < frames; at += BLOCK_FRAMES) {
      if (context.aborted) throw interrupted()
      reader.read(at, input)
      keep(decimator.push(input[0]!, output, Math.min(BLOCK_FRAMES, frames - at)))
    }
    keep(decimator.finish(output))
    const peak = largest(coarse, 0, coarse.length)
    const step = peak / STEPS
    // One by one: `Int32Array.from` would first make a list of boxed numbers, fifty times as large.
    const { buffer, at: wholeAt } = memoryFor(8 * Math.ceil(coarse.length / 2))
    const whole = new Int32Array(buffer, wholeAt, coarse.length)
    if (step > 0) for (let i = 0; i < whole.length; i++) whole[i] = Math.round(coarse[i]! / step)
    const perPeak = sampleRateHz / everyFrames / PEAKS_A_SECOND
    const peaks = Array.from({ length: Math.ceil(coarse.length / perPeak) }, (_, i) =>
      largest(coarse, Math.floor(i * perPeak), Math.floor((i + 1) * perPeak)),
    )
    return { values: whole.length, step, peaks, bytes: packWhole(whole) }
  } finally {
    reader.close()
  }
}

const largest = (values: Float32Array, from: number, to: number): number => {
  let most = 0
  for (let i = from; i < Math.min(to, values.length); i++) most = Math.max(most, Math.abs(values[i]!))
  return most
}
