import { dbFromPower } from '../../terms/units.js'
import { curvePoints, energyAround, hzOfPoint } from '../../tone/predict/curve.js'
import type { DeskBlend, DeskStrip } from './desk.js'
import type { OpenedSpectra } from './opened-spectra.js'

/** Level of one source over frequency, dB under its own loudest point. */
export interface SourceLevels {
  readonly source: string
  readonly levelDb: readonly number[]
}

/** Points of a curve to the octave: 12, each an average over a sixth of an octave. */
const EVERY = 2
const REACH = 4
/** Lower levels are told as this. */
const FLOOR_DB = -60

const energyOf = ({ leaves }: DeskStrip, spectra: OpenedSpectra, channels: number): Float64Array => {
  const energy = new Float64Array(spectra.bins.frequenciesHz.length)
  for (const { signals, gain } of leaves) {
    for (const signal of signals.slice(0, channels)) {
      const auto = spectra.auto[signal]!
      for (let k = 0; k < energy.length; k++) energy[k] = energy[k]! + gain * gain * auto[k]!
    }
  }
  return energy
}

/** The spectra of all sources of some blends, each once. */
export const sourceLevels = (
  spectra: OpenedSpectra,
  blends: readonly DeskBlend[],
  sampleRateHz: number,
): { readonly frequenciesHz: readonly number[]; readonly sources: readonly SourceLevels[] } => {
  const { first, count } = curvePoints(sampleRateHz)
  const points = Array.from({ length: Math.floor(count / EVERY) }, (_, i) => first + EVERY * i)
  const strips = new Map<string, { readonly strip: DeskStrip; readonly channels: number }>()
  for (const { strips: all, channels } of blends) {
    for (const strip of all) if (!strips.has(strip.source)) strips.set(strip.source, { strip, channels })
  }
  const sources = [...strips.values()].map(({ strip, channels }): SourceLevels => {
    const energy = energyOf(strip, spectra, channels)
    const around = points.map(point => energyAround(energy, spectra.bins, point, REACH))
    const loudest = Math.max(...around)
    return {
      source: strip.source,
      levelDb: around.map(value =>
        loudest > 0 && value > 0 ? Math.max(FLOOR_DB, dbFromPower(value / loudest)) : FLOOR_DB,
      ),
    }
  })
  return { frequenciesHz: points.map(hzOfPoint), sources }
}
