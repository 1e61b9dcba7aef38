import * as portable from '../../src/terms/portable.js'
/** The written parts of "Lantern Street", our own tune: twelve bars of four beats. MIDI note numbers, A4 = 69 = 440 Hz. */

export const BPM = 92
const BARS = 12
/** Silence before the first beat and after the last bar, so that every recording has a gap to measure noise and hum in. */
const COUNT_IN_SECONDS = 1.1
const RING_OUT_SECONDS = 1.6

const beatSeconds = 60 / BPM
export const SONG_SECONDS = COUNT_IN_SECONDS + BARS * 4 * beatSeconds + RING_OUT_SECONDS

export interface Note {
  readonly atSeconds: number
  readonly midi: number
  /** 0..1 */
  readonly velocity: number
  readonly holdSeconds: number
}

const secondsAt = (bar: number, beat: number): number => COUNT_IN_SECONDS + (bar * 4 + beat) * beatSeconds

/** [beat, midi, length in beats] per bar. */
const bassBars: readonly (readonly (readonly [number, number, number])[])[] = [
  [
    [0, 38, 1.5],
    [1.5, 38, 0.5],
    [2, 33, 1],
    [3, 36, 1],
  ],
  [
    [0, 34, 1.5],
    [1.5, 34, 0.5],
    [2, 29, 1],
    [3, 33, 1],
  ],
  [
    [0, 31, 1],
    [1, 38, 1],
    [2, 34, 1],
    [3, 31, 1],
  ],
  [
    [0, 33, 2],
    [2, 28, 1],
    [3, 33, 0.5],
    [3.5, 37, 0.5],
  ],
  [
    [0, 38, 1.5],
    [1.5, 41, 0.5],
    [2, 38, 1],
    [3, 36, 1],
  ],
  [
    [0, 34, 1],
    [1, 33, 1],
    [2, 34, 1],
    [3, 29, 1],
  ],
  [
    [0, 31, 1.5],
    [1.5, 34, 0.5],
    [2, 38, 1],
    [3, 43, 1],
  ],
  [
    [0, 33, 1],
    [1, 40, 1],
    [2, 37, 1],
    [3, 33, 1],
  ],
  [
    [0, 36, 1.5],
    [1.5, 36, 0.5],
    [2, 31, 1],
    [3, 35, 1],
  ],
  [
    [0, 29, 2],
    [2, 36, 1],
    [3, 41, 1],
  ],
  [
    [0, 31, 1],
    [1, 33, 1],
    [2, 34, 1],
    [3, 36, 1],
  ],
  [[0, 38, 4]],
]

/** One chord per bar for the guitar, low string first. */
const chords: readonly (readonly number[])[] = [
  [50, 57, 62, 65],
  [46, 53, 58, 62],
  [43, 55, 58, 62],
  [45, 52, 57, 61],
  [50, 57, 62, 65],
  [46, 53, 58, 62],
  [43, 50, 55, 58],
  [45, 52, 57, 61],
  [48, 55, 60, 64],
  [41, 53, 57, 60],
  [43, 50, 58, 62],
  [50, 57, 62, 65],
]
const picking = [0, 2, 1, 3, 2, 1, 3, 2] as const

const accent = (index: number): number => 0.72 + (0.28 * ((index * 37) % 11)) / 10

export const bassNotes: readonly Note[] = bassBars.flatMap((bar, barIndex) =>
  bar.map(([beat, midi, beats], index) => ({
    atSeconds: secondsAt(barIndex, beat) + 0.004 * (((barIndex + index) % 3) - 1),
    midi,
    velocity: accent(barIndex * 5 + index),
    holdSeconds: beats * beatSeconds * 0.94,
  })),
)

export const guitarNotes: readonly Note[] = chords.flatMap((chord, barIndex) =>
  (barIndex === chords.length - 1 ? [0, 1, 2, 3] : picking).map((string, step) => ({
    atSeconds: secondsAt(barIndex, step * (barIndex === chords.length - 1 ? 0.06 : 0.5)),
    midi: chord[string] ?? 50,
    velocity: accent(barIndex * 8 + step) * (step === 0 ? 1 : 0.8),
    holdSeconds: 2.2 * beatSeconds,
  })),
)

/** Back beats with a few soft strokes between. The last bar rests. */
export const snareStrokes: readonly Note[] = Array.from({ length: BARS - 1 }, (_, bar) => [
  { atSeconds: secondsAt(bar, 1), midi: 0, velocity: 0.92, holdSeconds: 0 },
  { atSeconds: secondsAt(bar, 3), midi: 0, velocity: bar === 7 ? 1.9 : 1, holdSeconds: 0 },
  ...(bar % 2 === 1 ? [{ atSeconds: secondsAt(bar, 2.75), midi: 0, velocity: 0.28, holdSeconds: 0 }] : []),
  ...(bar % 4 === 2 ? [{ atSeconds: secondsAt(bar, 3.5), midi: 0, velocity: 0.4, holdSeconds: 0 }] : []),
]).flat()

/** Frequency of a MIDI note, equal temperament, A4 = 440 Hz (ISO 16, from memory). */
export const noteHz = (midi: number): number => 440 * portable.exp(((midi - 69) / 12) * Math.LN2)
