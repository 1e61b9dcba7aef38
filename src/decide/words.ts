import { signed } from '../terms/figure-text.js'
import { msFromSamples } from '../terms/units.js'

/** A time in milliseconds to a microsecond, without sign: "1.986 ms". */
export const msText = (samples: number, sampleRateHz: number): string =>
  `${msFromSamples(Math.abs(samples), sampleRateHz).toFixed(3)} ms`

/** A lag in the engineer's words: "late by 1.986 ms", "early by 0.500 ms", "arrives with the reference". */
export const lagText = (lagSamples: number, sampleRateHz: number): string =>
  lagSamples === 0
    ? 'arrives with the reference'
    : `${lagSamples > 0 ? 'late' : 'early'} by ${msText(lagSamples, sampleRateHz)}`

/** A level in dB to a tenth, with its sign: "+1.5 dB", "−3.0 dB", "0.0 dB". The sign is a real minus. */
export const dbText = (db: number): string => `${signed(db, 1)} dB`
