import { describe, expect, test } from 'vitest'
import { RealFft } from '../../src/signal/fft.js'
import { PARTIALS } from '../../src/tone/notes/harmonic-series.js'
import {
  frequencyOfMidi,
  midiOfFrequency,
  type NoteMoment,
  nameOfMidi,
  PlayedNotes,
} from '../../src/tone/notes/played.js'
import { soundingMoments } from '../../src/tone/notes/sounding-moments.js'
import { spectralGrid } from '../../src/tone/spectra/resolution.js'
import { addPluck, addSnare, mixed, noteHz, scaled, silence, whiteNoise } from './setting/sounds.js'

const rate = 48000
const { normal } = spectralGrid(rate)

/** Notes by name with their share of the notes' energy, and the share of the notes in all that is heard. */
const heardIn = (
  sound: Float64Array,
): {
  notes: Map<string, number>
  pitched: number
  moments: readonly NoteMoment[]
} => {
  const fft = new RealFft(normal.fftSize)
  const spectrum = new Float64Array(normal.fftSize + 2)
  const ear = new PlayedNotes(normal.binHz)
  for (let start = -normal.hop; start < sound.length; start += normal.hop) {
    fft.forward(
      normal.window.map((w, n) => w * (sound[start + n] ?? 0)),
      spectrum,
    )
    ear.hear(
      Float64Array.from({ length: fft.bins }, (_, k) => spectrum[2 * k]! ** 2 + spectrum[2 * k + 1]! ** 2),
      true,
      Math.max(0, start / rate),
    )
  }
  const total = ear.energies.reduce((a, b) => a + b, 0)
  const notes = new Map<string, number>()
  for (let midi = 0; midi < 128; midi++) {
    const energy = ear.energies.subarray(midi * PARTIALS, (midi + 1) * PARTIALS).reduce((a, b) => a + b, 0)
    if (energy > 0.02 * total) notes.set(nameOfMidi(midi), energy / total)
  }
  return { notes, pitched: total / ear.heard, moments: ear.moments }
}

const phrase = (
  midis: readonly number[],
  seconds: number,
  more: { partials?: number; ring?: number } = {},
): Float64Array => {
  const sound = silence(Math.round(midis.length * seconds * rate))
  midis.forEach((midi, i) => {
    addPluck(sound, rate, {
      hz: noteHz(midi),
      at: i * seconds,
      seconds: 0.95 * seconds,
      amplitude: 0.3,
      ...more,
    })
  })
  return sound
}

test.each([
  [28, 'E1', 41.2034],
  [43, 'G2', 97.9989],
  [60, 'C4', 261.6256],
  [70, 'A♯4', 466.1638],
])('midi %d is %s, %d Hz', (midi, name, hz) => {
  expect(nameOfMidi(midi)).toBe(name)
  expect(frequencyOfMidi(midi)).toBeCloseTo(hz, 4)
  expect(midiOfFrequency(hz * 1.02)).toBe(midi)
})

describe('notes that are played', () => {
  test.each([0.25, 0.4, 0.8])('a bass line of notes of %d s: those notes and no others', seconds => {
    const { notes, pitched } = heardIn(phrase([28, 33, 38, 43, 35, 31, 40, 29], seconds))
    expect([...notes.keys()]).toEqual(['E1', 'F1', 'G1', 'A1', 'B1', 'D2', 'E2', 'G2'])
    expect(pitched).toBeGreaterThan(0.7)
  })

  test('when each sounds: the window in which it is loudest begins within a third of a second of it', () => {
    const midis = [28, 33, 38, 43, 35, 31]
    const { moments } = heardIn(phrase(midis, 0.8))
    for (const [i, midi] of midis.entries()) {
      const [first] = soundingMoments(midi, moments)
      expect(Math.abs(first! - 0.8 * i), nameOfMidi(midi)).toBeLessThan(0.33)
    }
    expect(soundingMoments(60, moments)).toEqual([])
  })

  test('of a note that is played on and on, its loudest moment in every four seconds', () => {
    const { moments } = heardIn(
      phrase(
        Array.from({ length: 10 }, () => 45),
        1,
      ),
    )
    expect(moments.map(({ midi, atSeconds }) => [midi, Math.floor(atSeconds / 4)])).toEqual([
      [45, 0],
      [45, 1],
      [45, 2],
    ])
  })

  test('a bass with a weak fundamental (-20 dB) is not taken an octave higher', () => {
    const full = phrase([28, 33], 0.8)
    const fundamentals = phrase([28, 33], 0.8, { partials: 1 })
    const { notes } = heardIn(mixed(full, scaled(fundamentals, -0.9)))
    // The windows in which a note begins or two notes meet may err.
    expect((notes.get('E1') ?? 0) + (notes.get('A1') ?? 0)).toBeGreaterThan(0.9)
  })

  test('chords: their notes, the octave of a lower one left out where its partials cover it', () => {
    const sound = silence(3 * rate)
    ;[
      [40, 47, 52, 56],
      [45, 52, 57, 60],
      [50, 57, 62, 66],
    ].forEach((chord, i) => {
      for (const midi of chord)
        addPluck(sound, rate, { hz: noteHz(midi), at: i, seconds: 0.95, amplitude: 0.1 })
    })
    const names = [...heardIn(sound).notes.keys()]
    for (const played of ['E2', 'B2', 'G♯3', 'A2', 'C4', 'D3', 'F♯4']) expect(names).toContain(played)
    const all = ['E2', 'B2', 'E3', 'G♯3', 'A2', 'A3', 'C4', 'D3', 'D4', 'F♯4']
    expect(names.filter(name => !all.includes(name))).toEqual([])
  })

  test('a held tone without partials is a note', () => {
    const { notes, pitched } = heardIn(phrase([45], 2, { partials: 1, ring: 5 }))
    expect([...notes.keys()]).toEqual(['A2'])
    expect(pitched).toBeGreaterThan(0.7)
  })

  test('under noise at -20 dB the notes are still found', () => {
    const line = phrase([28, 33, 38, 43], 0.5)
    const { notes } = heardIn(mixed(line, whiteNoise(line.length, 'hiss', 0.012)))
    expect([...notes.keys()]).toEqual(['E1', 'A1', 'D2', 'G2'])
  })
})

describe('what is not pitched', () => {
  test('a snare, whose modes are no harmonics and do not last', () => {
    const sound = silence(8 * rate)
    for (let i = 0; i < 16; i++) addSnare(sound, rate, 0.1 + 0.48 * i, `hit ${i}`)
    expect(heardIn(sound).pitched).toBeLessThan(0.05)
  })

  test('noise', () => {
    expect(heardIn(whiteNoise(4 * rate, 'noise')).pitched).toBeLessThan(0.01)
  })

  test('silence: nothing heard, nothing played', () => {
    expect(heardIn(silence(rate)).notes.size).toBe(0)
  })
})
