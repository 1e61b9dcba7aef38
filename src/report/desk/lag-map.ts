import { turns } from '../../signal/turns.js'
import * as portable from '../../terms/portable.js'
import { leftOfCell } from './cell-power.js'
import type { DeskBlend, DeskStrip } from './desk.js'
import type { OpenedSpectra } from './opened-spectra.js'

/** What a blend would lose as a whole, had one source been moved by another lag; dB, 0 = nothing. */
export interface LagMap {
  /** By which lag the source would have been pulled forward, ms: 0 = left as recorded. Ascending. */
  readonly lagMs: readonly number[]
  /** The source the way round in which it is delivered, and turned over. */
  readonly asDeliveredDb: readonly number[]
  readonly turnedDb: readonly number[]
  /** By which it was, and what the blend loses there. */
  readonly deliveredMs: number
  readonly deliveredDb: number
}

/** Shown beyond the lags of interest, and at least to each side of the delivered one. Ms. */
const MARGIN_MS = 1.5
const LEAST_MS = 5
/** Further than that the cells of the report are too wide. */
const REACH_MS = 12
const POINTS = 240

interface Energies {
  /** Of everything but what the moved source shares with the others. */
  readonly fixed: number
  readonly inPhase: number
  /** What it shares with all others, where it is delivered: real and imaginary part per cell. */
  readonly real: Float64Array
  readonly imaginary: Float64Array
}

const energiesOf = (
  spectra: OpenedSpectra,
  blend: DeskBlend,
  moved: DeskStrip,
  sampleRateHz: number,
): Energies => {
  const { frequenciesHz } = spectra.bins
  const count = frequenciesHz.length
  const real = new Float64Array(count)
  const imaginary = new Float64Array(count)
  let fixed = 0
  let inPhase = 0
  const leaves = blend.strips.flatMap(strip => strip.leaves.map(leaf => ({ leaf, isMoved: strip === moved })))
  for (let channel = 0; channel < blend.channels; channel++) {
    const parts = leaves.map(({ leaf, isMoved }) => ({
      signal: leaf.signals[channel]!,
      gain: leaf.gain,
      seconds: leaf.laterSamples / sampleRateHz,
      isMoved,
    }))
    for (const { signal, gain } of parts) {
      const energy = gain * gain * spectra.auto[signal]!.reduce((sum, power) => sum + power, 0)
      fixed += energy
      inPhase += energy
    }
    const angles = new Float64Array(count)
    const cosines = new Float64Array(count)
    const sines = new Float64Array(count)
    for (const pair of spectra.pairs) {
      const a = parts.find(({ signal }) => signal === pair.i)
      const b = parts.find(({ signal }) => signal === pair.j)
      if (a === undefined || b === undefined) continue
      const both = 2 * a.gain * b.gain
      for (let k = 0; k < count; k++) angles[k] = 2 * Math.PI * frequenciesHz[k]! * (a.seconds - b.seconds)
      turns(angles, cosines, sines)
      for (let k = 0; k < count; k++) {
        inPhase += Math.abs(both) * pair.magnitude[k]!
        const re = both * (pair.real[k]! * cosines[k]! - pair.imaginary[k]! * sines[k]!)
        const im = both * (pair.real[k]! * sines[k]! + pair.imaginary[k]! * cosines[k]!)
        if (a.isMoved === b.isMoved) fixed += re
        else {
          real[k] = real[k]! + re
          // Turned so that the moved source is always the first of the two.
          imaginary[k] = imaginary[k]! + (a.isMoved ? im : -im)
        }
      }
    }
  }
  return { fixed, inPhase, real, imaginary }
}

/** Per cell; used again for every lag of a map. */
interface Turning {
  readonly angles: Float64Array
  readonly cosines: Float64Array
  readonly sines: Float64Array
}

/** Energy that the moved source adds by what it shares, `laterSeconds` after where it is delivered. */
const sharedAt = (
  { real, imaginary }: Energies,
  spectra: OpenedSpectra,
  { angles, cosines, sines }: Turning,
  laterSeconds: number,
): number => {
  const { frequenciesHz } = spectra.bins
  for (let k = 0; k < real.length; k++) angles[k] = 2 * Math.PI * frequenciesHz[k]! * laterSeconds
  turns(angles, cosines, sines)
  let energy = 0
  let left = 1
  for (let k = 0; k < real.length; k++) {
    // Cells of one width stand side by side.
    const same =
      k > 0 &&
      spectra.binsInCell[k] === spectra.binsInCell[k - 1] &&
      spectra.binHz[k] === spectra.binHz[k - 1]
    if (!same) left = leftOfCell(spectra.binsInCell[k]!, spectra.binHz[k]!, laterSeconds)
    energy += left * (real[k]! * cosines[k]! - imaginary[k]! * sines[k]!)
  }
  return energy
}

/**
 * The map of one source of a blend, all others where they are delivered. `marks`: lags that should be on it, ms. null where the source was
 * moved by no one lag, or shares nothing with the others.
 */
export const lagMap = (
  spectra: OpenedSpectra,
  blend: DeskBlend,
  moved: DeskStrip,
  sampleRateHz: number,
  marks: readonly number[],
): LagMap | null => {
  if (moved.lagSamples === null) return null
  const energies = energiesOf(spectra, blend, moved, sampleRateHz)
  if (energies.real.every(value => value === 0)) return null
  const deliveredMs = ((moved.lagSamples - moved.nudgeSamples) * 1000) / sampleRateHz
  const near = marks.filter(mark => Math.abs(mark - deliveredMs) <= REACH_MS - MARGIN_MS)
  const from = Math.min(deliveredMs - LEAST_MS, ...near.map(mark => mark - MARGIN_MS))
  const to = Math.max(deliveredMs + LEAST_MS, ...near.map(mark => mark + MARGIN_MS))
  const lagMs = Array.from({ length: POINTS + 1 }, (_, i) => from + ((to - from) * i) / POINTS)
  const cells = (): Float64Array => new Float64Array(energies.real.length)
  const turning = { angles: cells(), cosines: cells(), sines: cells() }
  const shared = lagMs.map(lag => sharedAt(energies, spectra, turning, (deliveredMs - lag) / 1000))
  const lossDb = (power: number): number =>
    Math.max(0, 10 * portable.log10(energies.inPhase / Math.max(power, 1e-6 * energies.inPhase)))
  return {
    lagMs,
    asDeliveredDb: shared.map(energy => lossDb(energies.fixed + energy)),
    turnedDb: shared.map(energy => lossDb(energies.fixed - energy)),
    deliveredMs,
    deliveredDb: lossDb(energies.fixed + sharedAt(energies, spectra, turning, 0)),
  }
}
