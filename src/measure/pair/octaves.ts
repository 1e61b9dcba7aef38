/** Octave bands by their middle, 31.25 Hz … 16 kHz, as bins `[from, to)` of a transform; bands beyond half the rate are cut. */
export interface OctaveBand {
  readonly middleHz: number
  readonly from: number
  readonly to: number
}

const MIDDLES_HZ = [31.25, 62.5, 125, 250, 500, 1000, 2000, 4000, 8000, 16000] as const

export const octaveBands = (sampleRateHz: number, fftSize: number): OctaveBand[] =>
  MIDDLES_HZ.map(middleHz => ({
    middleHz,
    from: Math.max(2, Math.round((middleHz * Math.SQRT1_2 * fftSize) / sampleRateHz)),
    to: Math.min(fftSize / 2, Math.round((middleHz * Math.SQRT2 * fftSize) / sampleRateHz)),
  })).filter(band => band.to > band.from)
