import type { SourceMeasurement } from '../../../src/measure/measurement.js'
import type { FileSource, Via } from '../../../src/recipe/session.js'
import { metresFromSamples, msFromSamples } from '../../../src/terms/units.js'

export const RATE = 48000
export const SECONDS = 30
export const CELSIUS = 21

/** What is invented about one source; all else follows from it. */
export interface Invented {
  readonly name: string
  readonly file: string
  readonly via: Via
  readonly told: number | null
  readonly lagSamples: number | null
  readonly uncertainty: number | null
  readonly spread: number | null
  readonly inverted: boolean
  readonly loudness: number
  readonly measured?: Partial<SourceMeasurement>
}

export const sessionSource = (invented: Invented): FileSource => ({
  kind: 'file',
  name: invented.name,
  polarity: 'measured',
  lag: 'measured',
  nudgeSamples: 0,
  distanceMetres: invented.told,
  file: `/songs/lantern-street/${invented.file}`,
  fileShown: invented.file,
  via: invented.via,
  selection: { kind: 'all' },
  slate: null,
  facts: {
    sampleRateHz: RATE,
    channels: 1,
    frames: RATE * SECONDS,
    bitDepth: 24,
    sampleFormat: 'int',
    stampSamples: 1_699_200_000,
  },
})

export const measuredSource = (invented: Invented, isReference: boolean): SourceMeasurement => {
  const lag = isReference ? 0 : invented.lagSamples
  const polarity = invented.inverted ? 'inverted' : 'normal'
  return {
    name: invented.name,
    file: invented.file,
    fromGroup: null,
    sha256: sha256Of(invented.file),
    channels: 1,
    frames: RATE * SECONDS,
    bitDepth: 24,
    loudnessLufs: invented.loudness,
    rmsDbfs: invented.loudness - 0.7,
    samplePeakDbfs: invented.loudness + 16.2,
    truePeakDbtp: invented.loudness + 16.5,
    dcOffset: 0.00002,
    clippedRuns: 0,
    hum: null,
    startOffsetSamples: 0,
    lagSamples: lag,
    lagUncertaintySamples: invented.uncertainty,
    arrivalSpreadSamples: invented.spread,
    lagMs: lag === null ? null : msFromSamples(lag, RATE),
    distanceMetres: lag === null ? null : metresFromSamples(lag, RATE, CELSIUS),
    polarity,
    verdict: 'sure',
    lagVerdict: 'sure',
    polarityVerdict: 'sure',
    reason: null,
    coherence: isReference ? null : 0.83,
    candidates:
      isReference || lag === null
        ? []
        : [
            { aim: 'arrival', lagSamples: lag, polarity, score: 0.91 },
            { aim: 'arrival', lagSamples: lag + 1164.95, polarity, score: 0.64 },
            { aim: 'fullness', lagSamples: lag + 1.8, polarity, score: 0.88 },
          ],
    drift: null,
    steps: null,
    swaySamples: null,
    lagOverTime: null,
    advice: null,
    slate: null,
    pooled: null,
    ...invented.measured,
  }
}

/** A made-up checksum that differs from file to file. */
export const sha256Of = (text: string): string => {
  let state = 2166136261
  const digits: string[] = []
  for (let i = 0; digits.length < 64; i++) {
    state = Math.imul(state ^ (text.charCodeAt(i % text.length) + i), 16777619) >>> 0
    digits.push((state >>> 28).toString(16))
  }
  return digits.join('')
}
