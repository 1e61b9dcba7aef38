import * as portable from '../../terms/portable.js'
import type { BlendPower, SummedPart } from '../../tone/predict/blend-power.js'
import type { OpenedSpectra } from './opened-spectra.js'

/**
 * What is left of a cell's energy when its bins turn by different phases: sin(n x) / (n sin x) for n even bins, x = pi × distance of
 * the bins × time apart (geometric series of n unit phasors).
 */
export const leftOfCell = (bins: number, binHz: number, apartSeconds: number): number => {
  if (bins === 1) return 1
  const x = Math.PI * binHz * apartSeconds
  const sine = portable.sin(x)
  return Math.abs(sine) < 1e-9 ? 1 : portable.sin(bins * x) / (bins * sine)
}

/** The sum of parts, each moved: as `blendPower` does it from bins, from the cells of a report. Energies, one per cell. */
export const cellPower = (parts: readonly SummedPart[], spectra: OpenedSpectra): BlendPower => {
  const { frequenciesHz } = spectra.bins
  const count = frequenciesHz.length
  const power = new Float64Array(count)
  for (const { signal, gain } of parts) {
    const auto = spectra.auto[signal]!
    for (let k = 0; k < count; k++) power[k] = power[k]! + gain * gain * auto[k]!
  }
  const inPhase = power.slice()
  for (const pair of spectra.pairs) {
    const a = parts.find(({ signal }) => signal === pair.i)
    const b = parts.find(({ signal }) => signal === pair.j)
    if (a === undefined || b === undefined) continue
    const both = 2 * a.gain * b.gain
    const apart = a.laterSeconds - b.laterSeconds
    for (let k = 0; k < count; k++) {
      inPhase[k] = inPhase[k]! + Math.abs(both) * pair.magnitude[k]!
      const turn = 2 * Math.PI * frequenciesHz[k]! * apart
      const left = leftOfCell(spectra.binsInCell[k]!, spectra.binHz[k]!, apart)
      power[k] =
        power[k]! +
        both * left * (pair.real[k]! * portable.cos(turn) - pair.imaginary[k]! * portable.sin(turn))
    }
  }
  return { power, inPhase }
}
