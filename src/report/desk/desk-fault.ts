import { PARTIALS } from '../../tone/notes/harmonic-series.js'
import type { Desk, DeskSpectra } from './desk.js'

const HIGHEST_NOTE = 127
const BYTES_PER_CELL = 4

/** How many cells a list of base64 holds; null where it is no whole number of them. */
const cellsIn = (text: string): number | null => {
  const padding = text.endsWith('==') ? 2 : text.endsWith('=') ? 1 : 0
  const bytes = (text.length / 4) * 3 - padding
  return text.length % 4 === 0 && bytes % BYTES_PER_CELL === 0 ? bytes / BYTES_PER_CELL : null
}

const listsOf = ({ binsInCell, auto, pairs }: DeskSpectra): readonly string[] => [
  binsInCell,
  ...auto,
  ...pairs.flatMap(({ real, imaginary, magnitude }) => [real, imaginary, magnitude]),
]

/** What in a desk that somebody else wrote does not fit together, and a schema cannot say; null where everything does. */
export const deskFault = ({ blends, spectra }: Desk): string | null => {
  const { auto, pairs, notes, lowCells } = spectra
  const cells = cellsIn(spectra.frequenciesHz)
  const isSignal = (signal: number): boolean => signal < auto.length
  if (cells === null || cells === 0 || listsOf(spectra).some(list => cellsIn(list) !== cells)) {
    return 'the lists of its spectra are not of one length'
  }
  if (lowCells > cells) return 'its spectra have more cells in the low end than in all'
  if (notes.weights.length !== auto.length) return 'its spectra lack the weight of a signal'
  if (pairs.some(({ i, j }) => !isSignal(i) || !isSignal(j)))
    return 'its spectra pair a signal that is not there'
  if (
    blends.some(({ strips }) => strips.some(({ leaves }) => leaves.some(l => !l.signals.every(isSignal))))
  ) {
    return 'a strip of its desk names a signal that is not there'
  }
  const isNote = ({ midi, energies }: (typeof notes.played)[number]): boolean =>
    midi <= HIGHEST_NOTE && energies.length <= PARTIALS
  return notes.played.every(isNote) ? null : 'a note of its spectra is out of range'
}
