import type { ChannelSelection } from '../../recipe/session.js'
import { RealFft } from '../../signal/fft.js'
import { hann } from '../../signal/windows.js'
import { interrupted } from '../../terms/interrupted.js'
import * as portable from '../../terms/portable.js'
import type { TaskContext } from '../../terms/task.js'
import { openSource, type SourceReader } from '../../wave/source-reader.js'
import type { FrameSource } from '../spectra/frame-source.js'
import { stretchedSource } from './stretched-source.js'

export interface CompareRatesInput {
  readonly reference: ComparedFile
  readonly source: ComparedFile
  /** Where to listen: first frames of stretches, in the reference's own time. */
  readonly starts: readonly number[]
  /** Start of the source's file in the reference's time, frames. */
  readonly startFrame: number
  readonly searchSamples: number
  readonly factors: readonly number[]
}

interface ComparedFile {
  readonly file: string
  readonly selection: ChannelSelection
  /** The one that is listened to. */
  readonly channel: number
}

/** 2.7 s at 48 kHz: at 0.1 % the lag runs by 130 frames in it, so that the two do not fit at another factor than their own. */
export const RATE_WINDOW = 1 << 17
const WINDOW = hann(RATE_WINDOW)

/**
 * Task: how far the best lag stands out of chance for every factor, as the mean over the stretches of `peak / rms` of the phase
 * transform. Chance gives about 4.5 in some thousand lags.
 * @throws SumwellError as `openWave` and `WaveFile.read`; INTERRUPTED
 */
export const compareRates = (input: CompareRatesInput, context: TaskContext): readonly number[] => {
  const readers: SourceReader[] = []
  try {
    for (const { file, selection } of [input.reference, input.source])
      readers.push(openSource(file, selection))
    const [reference, source] = readers as [SourceReader, SourceReader]
    const fft = new RealFft(RATE_WINDOW)
    const references = input.starts.map(start => spectrumAt(fft, reference, start, input.reference.channel))
    return input.factors.map(factor => {
      const stretched = stretchedSource(source, factor)
      const heights = input.starts.map((start, i) => {
        if (context.aborted) throw interrupted()
        const spectrum = spectrumAt(fft, stretched, start - input.startFrame, input.source.channel)
        return standing(fft, references[i]!, spectrum, input.searchSamples)
      })
      return heights.reduce((sum, height) => sum + height, 0) / Math.max(1, heights.length)
    })
  } finally {
    for (const reader of readers) reader.close()
  }
}

const spectrumAt = (fft: RealFft, source: FrameSource, start: number, channel: number): Float64Array => {
  const planar = Array.from({ length: source.channels }, () => new Float64Array(RATE_WINDOW))
  source.read(start, planar)
  const frame = new Float64Array(fft.size)
  planar[channel]!.forEach((value, n) => {
    frame[n] = value * WINDOW[n]!
  })
  const spectrum = new Float64Array(fft.size + 2)
  fft.forward(frame, spectrum)
  return spectrum
}

// Every bin counts alike, whatever its level; silence counts nothing.
const standing = (fft: RealFft, first: Float64Array, second: Float64Array, reach: number): number => {
  const cross = new Float64Array(fft.size + 2)
  for (let k = 2; k < cross.length; k += 2) {
    const re = first[k]! * second[k]! + first[k + 1]! * second[k + 1]!
    const im = first[k]! * second[k + 1]! - first[k + 1]! * second[k]!
    const size = portable.hypot(re, im)
    if (!(size > 0)) continue
    cross[k] = re / size
    cross[k + 1] = im / size
  }
  const lags = new Float64Array(fft.size)
  fft.inverse(cross, lags)
  let most = 0
  let squares = 0
  for (const value of lags) squares += value * value
  const within = Math.min(Math.ceil(reach), fft.size / 4)
  for (let lag = -within; lag <= within; lag++)
    most = Math.max(most, Math.abs(lags[lag < 0 ? lag + fft.size : lag]!))
  return squares > 0 ? most / Math.sqrt(squares / fft.size) : 0
}
