import { addPowers, type SummedPart } from '../../tone/predict/blend-power.js'
import { curveEnergies, toneCurve } from '../../tone/predict/curve.js'
import { evennessDb } from '../../tone/predict/evenness.js'
import { firstNotchHz } from '../../tone/predict/first-notch.js'
import { playedSemitones } from '../../tone/predict/semitones.js'
import { cellPower } from './cell-power.js'
import type { OpenedSpectra } from './opened-spectra.js'

export interface LiveTone {
  readonly frequenciesHz: readonly number[]
  /** As `ToneCurve.lossDb`. */
  readonly lossDb: readonly (number | null)[]
  readonly firstNotchHz: number | null
  readonly evennessDb: number | null
}

/** Tone of a blend as the faders stand: the same mathematics as the report's own prediction, from the cells of the report. */
export const liveTone = (
  spectra: OpenedSpectra,
  channels: readonly (readonly SummedPart[])[],
  sampleRateHz: number,
): LiveTone => {
  const { bins, notes, loudness } = spectra
  const blend = addPowers(channels.map(parts => cellPower(parts, spectra)))
  const energies = curveEnergies(blend, bins, sampleRateHz)
  const loudest = energies.power.reduce((most, energy) => Math.max(most, energy), 0)
  const semitones = playedSemitones(notes, { before: blend, after: blend }, loudness, bins)
  return {
    frequenciesHz: energies.frequenciesHz,
    lossDb: toneCurve(energies, energies, loudest).lossDb,
    firstNotchHz: firstNotchHz(blend, bins, sampleRateHz),
    evennessDb: evennessDb(
      semitones.map(({ energyShare, lossAfterDb }) => ({ energyShare, lossDb: lossAfterDb })),
    ),
  }
}
