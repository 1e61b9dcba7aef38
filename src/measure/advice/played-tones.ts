import * as portable from '../../terms/portable.js'
import { type SharedSound, sharedEnergy } from './shared-band.js'

const LOWEST_HZ = 38
const HIGHEST_HZ = 2000
const MOST_TONES = 3
/** Weaker ones are overtones or neighbours more often than notes: 15 dB in energy. */
const UNDER_STRONGEST = 0.03
/** A tone stands out of what lies half an octave around it. */
const OVER_MIDDLE = 4

/**
 * The tones in which two tracks share most sound, strongest first, at most three; Hz, between the bins of the analysis by a
 * parabola through the logarithms. Notes nearer than about three bins (18 Hz at 48 kHz) melt into one.
 */
export const playedTones = (sound: SharedSound, sampleRateHz: number): number[] => {
  const shared = sharedEnergy(sound)
  const energy = shared.map(
    (_, k) => portable.hypot(sound.cross[2 * k]!, sound.cross[2 * k + 1]!) * sound.gammaSquared[k]!,
  )
  const binHz = sampleRateHz / (2 * (energy.length - 1))
  const first = Math.max(2, Math.ceil(LOWEST_HZ / binHz))
  const last = Math.min(energy.length - 2, Math.floor(HIGHEST_HZ / binHz))
  const tops: { readonly hz: number; readonly energy: number }[] = []
  for (let k = first; k <= last; k++) {
    const own = energy[k]!
    if (!(own > energy[k - 1]! && own >= energy[k + 1]!)) continue
    if (own < OVER_MIDDLE * middleAround(energy, k)) continue
    tops.push({ hz: (k + between(energy, k)) * binHz, energy: own })
  }
  tops.sort((a, b) => b.energy - a.energy)
  return tops
    .filter(top => top.energy >= UNDER_STRONGEST * tops[0]!.energy)
    .slice(0, MOST_TONES)
    .map(top => top.hz)
}

const middleAround = (energy: Float64Array, k: number): number => {
  const around = energy.slice(Math.max(1, Math.floor(k * 0.7)), Math.ceil(k * 1.42) + 1).sort()
  return around[Math.floor(around.length / 2)]!
}

const between = (energy: Float64Array, k: number): number => {
  const [a, b, c] = [energy[k - 1]!, energy[k]!, energy[k + 1]!].map(e =>
    portable.log(Math.max(e, 1e-300)),
  ) as [number, number, number]
  const bend = a - 2 * b + c
  return bend < 0 ? Math.max(-0.5, Math.min(0.5, (a - c) / (2 * bend))) : 0
}

const NAMES = ['C', 'C♯', 'D', 'D♯', 'E', 'F', 'F♯', 'G', 'G♯', 'A', 'A♯', 'B']

/** Nearest note of equal temperament with A4 = 440 Hz: `E1` is 41.2 Hz. */
export const noteName = (frequencyHz: number): string => {
  const note = Math.round(69 + 12 * portable.log2(frequencyHz / 440))
  return `${NAMES[((note % 12) + 12) % 12]!}${Math.floor(note / 12) - 1}`
}
