import { PARTIALS } from '../../tone/notes/harmonic-series.js'
import type { NoteEnergies } from '../../tone/predict/semitones.js'
import type { ToneBins } from '../../tone/predict/tone-bins.js'
import type { DeskSpectra } from './desk.js'
import { textToFloats } from './float-text.js'

/** The spectra of a desk as numbers. Cells pass as bins of width 1, so that everything that works on bins works on them. */
export interface OpenedSpectra {
  readonly bins: ToneBins
  /** Per cell: how many bins it holds, and how far apart they lie, Hz. */
  readonly binsInCell: Float64Array
  readonly binHz: Float64Array
  readonly auto: readonly Float64Array[]
  readonly pairs: readonly {
    readonly i: number
    readonly j: number
    readonly real: Float64Array
    readonly imaginary: Float64Array
    readonly magnitude: Float64Array
  }[]
  readonly notes: NoteEnergies
  /** Power in which the notes were heard. */
  readonly loudness: Float64Array
}

const HIGHEST_NOTE = 127

const notesOf = ({ notes }: DeskSpectra): NoteEnergies => {
  const energies = new Float64Array((HIGHEST_NOTE + 1) * PARTIALS)
  for (const { midi, energies: partials } of notes.played) energies.set(partials, midi * PARTIALS)
  return { energies, heard: notes.heard }
}

/** The desk's spectra as numbers again, with the loudness that each frequency has in all signals together. */
export const openedSpectra = (spectra: DeskSpectra): OpenedSpectra => {
  const frequenciesHz = textToFloats(spectra.frequenciesHz)
  const count = frequenciesHz.length
  const auto = spectra.auto.map(textToFloats)
  const loudness = new Float64Array(count)
  auto.forEach((power, signal) => {
    const weight = spectra.notes.weights[signal]!
    for (let k = 0; k < count; k++) loudness[k] = loudness[k]! + weight * power[k]!
  })
  return {
    bins: {
      frequenciesHz,
      widthsHz: new Float64Array(count).fill(1),
      low: { first: 0, count: spectra.lowCells, scale: 1 },
      normal: { first: 0, count: count - spectra.lowCells, scale: 1 },
      lowOversampling: 1,
    },
    binsInCell: textToFloats(spectra.binsInCell),
    binHz: Float64Array.from({ length: count }, (_, k) =>
      k < spectra.lowCells ? spectra.lowBinHz : spectra.normalBinHz,
    ),
    auto,
    pairs: spectra.pairs.map(({ i, j, real, imaginary, magnitude }) => ({
      i,
      j,
      real: textToFloats(real),
      imaginary: textToFloats(imaginary),
      magnitude: textToFloats(magnitude),
    })),
    notes: notesOf(spectra),
    loudness,
  }
}
