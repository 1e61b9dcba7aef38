import * as portable from '../../terms/portable.js'
import { PARTIALS } from '../../tone/notes/harmonic-series.js'
import type { GroupLook } from '../../tone/tone-of-plan.js'
import { cellSums, cellsOf } from './cells.js'
import type { DeskSpectra } from './desk.js'
import { floatsToText } from './float-text.js'

/** Notes with a smaller share of the energy than this are left out: -50 dB. */
const LEAST_NOTE = 1e-5

const notesOf = ({ seen }: GroupLook): DeskSpectra['notes'] => {
  const { notes, heard } = seen.sums
  const all = notes.reduce((sum, energy) => sum + energy, 0)
  const played: { midi: number; energies: number[] }[] = []
  for (let midi = 0; midi < notes.length / PARTIALS; midi++) {
    const energies = [...notes.subarray(midi * PARTIALS, (midi + 1) * PARTIALS)]
    const energy = energies.reduce((sum, e) => sum + e, 0)
    if (energy === 0 || energy < LEAST_NOTE * all) continue
    played.push({ midi, energies: energies.map(e => Number(e.toPrecision(6))) })
  }
  return { heard, played, weights: seen.view.signals.map(({ weight }) => weight) }
}

/** The spectra of a group as they stand in the report. */
export const deskSpectra = (look: GroupLook): DeskSpectra => {
  const { shared } = look.seen
  const { bins } = shared
  const { cells, lowCells } = cellsOf(bins)
  const text = (density: (bin: number) => number): string => floatsToText(cellSums(density, bins, cells))
  return {
    lowCells,
    frequenciesHz: floatsToText(cells.map(({ frequencyHz }) => frequencyHz)),
    binsInCell: floatsToText(cells.map(({ from, to }) => to - from)),
    lowBinHz: bins.frequenciesHz[1]! - bins.frequenciesHz[0]!,
    normalBinHz: bins.frequenciesHz.at(-1)! - bins.frequenciesHz.at(-2)!,
    auto: shared.auto.map(auto => text(k => auto[k]!)),
    pairs: shared.pairs.map(([i, j], p) => {
      const { real, imaginary } = shared.cross[p]!
      return {
        i,
        j,
        real: text(k => real[k]!),
        imaginary: text(k => imaginary[k]!),
        magnitude: text(k => portable.hypot(real[k]!, imaginary[k]!)),
      }
    }),
    notes: notesOf(look),
  }
}
