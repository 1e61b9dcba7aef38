import * as portable from '../../terms/portable.js'
import { PARTIALS } from '../notes/harmonic-series.js'
import { frequencyOfMidi, nameOfMidi } from '../notes/played.js'
import type { Semitone } from '../tone.js'
import type { BlendPower } from './blend-power.js'
import { lossDb } from './loss.js'
import type { ToneBins } from './tone-bins.js'

/** Energy by note and partial, as heard. */
export interface NoteEnergies {
  /** Energy of partial p (from 0) of note m at [m * PARTIALS + p]. */
  readonly energies: Float64Array
  /** Energy of all that was heard, notes and noise. */
  readonly heard: number
}

/** Where notes hold less of the energy than this, nothing is pitched: a snare, cymbals, speech. */
const PITCHED_SHARE = 0.2
/** Notes with a smaller share are taken for mistakes of the ear. */
const LEAST_SHARE = 0.01
/** Half a semitone each way. */
const HALF_SEMITONE = portable.exp(Math.LN2 / 24)

/** Energy in the semitone around a frequency. */
export const semitoneEnergy = (density: Float64Array, bins: ToneBins, hz: number): number => {
  const { frequenciesHz, widthsHz } = bins
  let energy = 0
  for (let k = 0; k < density.length; k++) {
    const at = frequenciesHz[k]!
    if (at >= hz / HALF_SEMITONE && at < hz * HALF_SEMITONE) energy += widthsHz[k]! * density[k]!
  }
  return energy
}

interface BeforeAndAfter {
  readonly before: BlendPower
  readonly after: BlendPower
}

interface NoteSums {
  readonly midi: number
  readonly before: { power: number; inPhase: number }
  readonly after: { power: number; inPhase: number }
}

/** A note's energy in a blend: each partial as it was heard, times what the blend makes of it. */
const noteSums = (
  midi: number,
  notes: NoteEnergies,
  blend: BeforeAndAfter,
  loudness: Float64Array,
  bins: ToneBins,
): NoteSums => {
  const sums = { midi, before: { power: 0, inPhase: 0 }, after: { power: 0, inPhase: 0 } }
  for (let partial = 0; partial < PARTIALS; partial++) {
    const heard = notes.energies[midi * PARTIALS + partial]!
    if (heard === 0) continue
    const hz = (partial + 1) * frequencyOfMidi(midi)
    const all = semitoneEnergy(loudness, bins, hz)
    if (!(all > 0)) continue
    for (const time of ['before', 'after'] as const) {
      sums[time].power += (heard / all) * semitoneEnergy(blend[time].power, bins, hz)
      sums[time].inPhase += (heard / all) * semitoneEnergy(blend[time].inPhase, bins, hz)
    }
  }
  return sums
}

/**
 * The notes that were played, lowest first, each with its share of the played energy and what it loses as a whole, fundamental and
 * partials. Empty where nothing is pitched. `loudness`: density of the power in which the notes were heard.
 */
export const playedSemitones = (
  notes: NoteEnergies,
  blend: BeforeAndAfter,
  loudness: Float64Array,
  bins: ToneBins,
): Omit<Semitone, 'soundsAtSeconds'>[] => {
  const played = notes.energies.reduce((sum, energy) => sum + energy, 0)
  if (!(played >= PITCHED_SHARE * notes.heard) || played === 0) return []
  const sums: NoteSums[] = []
  for (let midi = 0; midi < notes.energies.length / PARTIALS; midi++) {
    const energy = notes.energies.subarray(midi * PARTIALS, (midi + 1) * PARTIALS)
    if (energy.reduce((sum, e) => sum + e, 0) < LEAST_SHARE * played) continue
    const note = noteSums(midi, notes, blend, loudness, bins)
    if (note.after.inPhase > 0) sums.push(note)
  }
  const total = sums.reduce((sum, note) => sum + note.after.inPhase, 0)
  return sums.map(({ midi, before, after }) => ({
    midi,
    name: nameOfMidi(midi),
    frequencyHz: frequencyOfMidi(midi),
    energyShare: after.inPhase / total,
    lossBeforeDb: lossDb(before.power, before.inPhase),
    lossAfterDb: lossDb(after.power, after.inPhase),
  }))
}
