import type { CloseUp } from '../../../src/report/close-up/close-up.js'
import type { Waveform } from '../../../src/report/waveform/waveform.js'
import { RATE } from './sources.js'

export interface Wave {
  readonly source: string
  readonly file: string
  readonly lagMs: number
  readonly inverted: boolean
  readonly shiftMs: number
  readonly moveInverted: boolean
  readonly brightness: number
  readonly drawnGainDb: number
}

/** A damped knock: the same instrument through a path, some later, some rougher. */
const knock = (ms: number, brightness: number): number =>
  ms < 0
    ? 0
    : 0.3 *
      (Math.exp(-ms / 5) * Math.sin(2 * Math.PI * 0.16 * ms) +
        brightness * Math.exp(-ms / 1.2) * Math.sin(2 * Math.PI * 1.1 * ms))

const FROM_MS = -4
const POINTS = 960

/** A close-up of invented waves: 20 ms at 48 kHz. */
export const inventedCloseUp = (attackSeconds: number, waves: readonly Wave[]): CloseUp => {
  const stepMs = 1000 / RATE
  const times = Array.from({ length: POINTS }, (_, i) => FROM_MS + i * stepMs)
  const traces = waves.map(wave => {
    const drawn = (ms: number, sign: number): number =>
      Math.round(sign * knock(ms, wave.brightness) * 1e5) / 1e5
    const recorded = wave.inverted ? -1 : 1
    return {
      source: wave.source,
      file: wave.file,
      drawnGainDb: wave.drawnGainDb,
      polarity: wave.moveInverted ? ('inverted' as const) : ('normal' as const),
      shiftMs: wave.shiftMs,
      before: times.map(ms => drawn(ms - wave.lagMs, recorded)),
      after: times.map(ms => drawn(ms - wave.lagMs - wave.shiftMs, wave.moveInverted ? -recorded : recorded)),
    }
  })
  const scale = Math.max(...traces.flatMap(trace => [...trace.before, ...trace.after]).map(Math.abs))
  const view = { sampleRateHz: RATE, attackSeconds, fromMs: FROM_MS, stepMs, scale, traces }
  return { ...view, elsewhere: [{ ...view, attackSeconds: attackSeconds + 11 }] }
}

/** A whole song of 3:28 in pulses, with no values behind it. */
export const inventedWaveform = (sources: readonly string[]): Waveform => ({
  everyFrames: 24,
  bandHz: 750,
  sources: sources.map((source, s) => ({
    id: `waveform-0-${s}`,
    source,
    recordedAtSamples: 0,
    values: 416_000,
    step: 0.001,
    sha256: 'ab'.repeat(32),
  })),
  overview: Array.from({ length: 480 }, (_, part) => Math.round(1000 * Math.exp(-(part % 9) / 4))),
  seconds: 208,
})
