import * as portable from '../../terms/portable.js'
import { type HeardNote, notesOf, PARTIALS } from './harmonic-series.js'
import { type TonalLine, tonalLines } from './tonal-lines.js'

/** Notes are kept by their MIDI number. */
const NOTES = 128
/** Lines are looked for up to here, Hz. */
const UP_TO_HZ = 6000
/**
 * A lone line lasts if it was there half a window and a whole window ago and differs by at most 15 dB: what decays like that rings for
 * 1.4 s and more. A drum does not.
 */
const MOST_CHANGE = 31.6
/** And holds this share of its window's energy: a roll or a cymbal has many lines that last, none of which is a note. */
const LONE_SHARE = 0.2

/** f = 440 Hz * 2^((midi - 69) / 12) (ISO 16: A4 = 440 Hz). */
export const frequencyOfMidi = (midi: number): number => 440 * portable.exp(((midi - 69) * Math.LN2) / 12)

/** Nearest semitone. */
export const midiOfFrequency = (hz: number): number => Math.round(69 + 12 * portable.log2(hz / 440))

const NAMES = ['C', 'C♯', 'D', 'D♯', 'E', 'F', 'F♯', 'G', 'G♯', 'A', 'A♯', 'B']

/** Name and octave: 60 is C4, 28 is E1. */
export const nameOfMidi = (midi: number): string =>
  `${NAMES[((midi % 12) + 12) % 12] ?? ''}${Math.floor(midi / 12) - 1}`

/** The loudest moment of a note in a stretch of time. */
export interface NoteMoment {
  readonly midi: number
  /** When the frame in which it was heard begins, seconds; the note has begun by its end. */
  readonly atSeconds: number
  readonly energy: number
}

/** Of each note the loudest moment in every so many seconds is kept. */
const MOMENT_SECONDS = 4

/** Which notes sound in a run of frames, and with how much energy. */
export class PlayedNotes {
  readonly #binHz: number
  /** Lines of the last two frames: with half overlap, the one before the last is a whole window ago. */
  #last: readonly TonalLine[] = []
  #before: readonly TonalLine[] = []
  /** Energy of partial p (from 0) of note m at [m * PARTIALS + p]. */
  readonly energies = new Float64Array(NOTES * PARTIALS)
  /** Energy of all frames heard, notes and noise. */
  heard = 0
  readonly #moments = new Map<string, NoteMoment>()

  constructor(binHz: number) {
    this.#binHz = binHz
  }

  /** The loudest moments of each note, one in every four seconds in which it sounds; in the order in which they came. */
  get moments(): readonly NoteMoment[] {
    return [...this.#moments.values()]
  }

  /** Looks at a frame: |X|^2 per bin, beginning at `atSeconds`. With `counts` false it is only remembered as what came before. */
  hear(power: Float64Array, counts: boolean, atSeconds: number): void {
    const lines = tonalLines(power, this.#binHz, UP_TO_HZ)
    if (counts) {
      let total = 0
      for (let k = 0; k < power.length; k++) total += power[k]!
      this.heard += total
      const isTone = (line: TonalLine): boolean => line.energy >= LONE_SHARE * total && this.#lasts(line)
      for (const note of notesOf(lines, this.#binHz, isTone)) this.#add(note, atSeconds)
    }
    this.#before = this.#last
    this.#last = lines
  }

  /** A frame without any sound. */
  rest(): void {
    this.#before = this.#last
    this.#last = []
  }

  #lasts(line: TonalLine): boolean {
    const within = Math.max(0.02 * line.frequencyHz, this.#binHz)
    const isSame = (other: TonalLine): boolean =>
      Math.abs(other.frequencyHz - line.frequencyHz) <= within &&
      Math.max(other.energy / line.energy, line.energy / other.energy) <= MOST_CHANGE
    return this.#last.some(isSame) && this.#before.some(isSame)
  }

  #add(note: HeardNote, atSeconds: number): void {
    const midi = midiOfFrequency(note.fundamentalHz)
    if (midi < 0 || midi >= NOTES) return
    note.energies.forEach((energy, partial) => {
      const at = midi * PARTIALS + partial
      this.energies[at] = this.energies[at]! + energy
    })
    const energy = note.energies.reduce((sum, partial) => sum + partial, 0)
    const stretch = `${midi}/${Math.floor(atSeconds / MOMENT_SECONDS)}`
    if (energy > (this.#moments.get(stretch)?.energy ?? 0))
      this.#moments.set(stretch, { midi, atSeconds, energy })
  }
}
