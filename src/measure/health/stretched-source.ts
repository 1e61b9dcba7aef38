import { delayTaps } from '../../signal/fractional-delay.js'
import type { FrameSource } from '../spectra/frame-source.js'

const HALF_LENGTH = 16
const BETA = 9
/** Filters between one frame and the next; the nearest is taken, which leaves noise 60 dB under the sound at 5 kHz. */
const ROWS = 512

/**
 * A source as if it had been recorded at another rate: its frame `n` is the original's place `n * factor`. Good enough to compare
 * with, not to listen to: with a factor over 1 the highest tones fold back.
 */
export const stretchedSource = (source: FrameSource, factor: number): FrameSource => {
  if (factor === 1) return source
  const table = Array.from({ length: ROWS + 1 }, (_, row) =>
    // Weights for the place between two frames, counted forwards.
    delayTaps(1 - row / ROWS, HALF_LENGTH, BETA),
  )
  return {
    channels: source.channels,
    read: (startFrame, into) => {
      const frames = into[0]!.length
      const first = Math.floor(startFrame * factor) - HALF_LENGTH
      const last = Math.floor((startFrame + frames - 1) * factor) + HALF_LENGTH + 1
      const held = into.map(() => new Float64Array(last - first + 1))
      source.read(first, held)
      for (let n = 0; n < frames; n++) {
        const place = (startFrame + n) * factor
        const whole = Math.floor(place)
        const taps = table[Math.round((place - whole) * ROWS)]!
        // taps[i] belongs to the frame `HALF_LENGTH - i` before the one after the place.
        const from = whole + 1 - HALF_LENGTH - first
        into.forEach((target, channel) => {
          const samples = held[channel]!
          let sum = 0
          for (let i = 0; i < 2 * HALF_LENGTH; i++) sum += taps[i]! * samples[from + i]!
          target[n] = sum
        })
      }
    },
  }
}
