import { float64 } from '../../signal/kernel/arena.js'
import { ThirdOctaveMeter } from '../../signal/third-octave.js'
import { interrupted } from '../../terms/interrupted.js'
import type { Task } from '../../terms/task.js'
import { openWave } from '../../wave/wave-file.js'

export interface ThirdOctavesInput {
  readonly file: string
}

/** What the filter bank saw in a file. */
export interface MeasuredThirdOctaves {
  readonly sampleRateHz: number
  readonly frames: number
  readonly channels: number
  /** Mean square per band, the channels added, full scale 1; the bands are those of `thirdOctaves(sampleRateHz)`. */
  readonly meanSquares: Float64Array
}

const BLOCK = 65536

/**
 * Third octaves of a file as it stands on the disk, by recursive filters that know nothing of the prediction. All frames count; the
 * filters ring out after the last. All 0 for silence or an empty file.
 * @throws SumwellError as `openWave`; INTERRUPTED
 */
export const thirdOctavesOf: Task<ThirdOctavesInput, MeasuredThirdOctaves> = ({ file }, context) => {
  const wave = openWave(file)
  try {
    const { sampleRateHz, channels, frames } = wave.facts
    const meters = Array.from({ length: channels }, () => new ThirdOctaveMeter(sampleRateHz))
    const buffers = meters.map(() => float64(BLOCK))
    for (let start = 0; start < frames; start += BLOCK) {
      if (context.aborted) throw interrupted()
      const length = Math.min(BLOCK, frames - start)
      const block = buffers.map(samples => samples.subarray(0, length))
      wave.read(start, block)
      meters.forEach((meter, channel) => {
        meter.push(block[channel]!)
      })
      context.advance(length / sampleRateHz)
    }
    const total = new Float64Array(meters[0]?.bands.length ?? 0)
    for (const meter of meters) {
      meter.finish()
      meter.meanSquares().forEach((value, band) => {
        total[band] = total[band]! + value
      })
    }
    return { sampleRateHz, frames, channels, meanSquares: total }
  } finally {
    wave.close()
  }
}
