import * as portable from '../../src/terms/portable.js'
import { bassNotes, guitarNotes, type Note, noteHz, SONG_SECONDS, snareStrokes } from './score.js'
import { addInto, bandPass, highPass, lowPass, noise, RATE, through } from './sound.js'

/** What leaves each instrument before any microphone or pickup: the force at a bridge, the stroke on a head. */

export const FRAMES = 2 * Math.round((SONG_SECONDS * RATE) / 2)

interface StringKind {
  /** Where it is plucked, as a share of its length. */
  readonly pluckedAt: number
  /** Stiffness: partial n lies at n f0 sqrt(1 + stiffness n^2). */
  readonly stiffness: number
  readonly ringSeconds: number
  readonly dampingHz: number
  readonly topHz: number
  readonly fingerLevel: number
}

const bassString: StringKind = {
  pluckedAt: 0.21,
  stiffness: 9e-5,
  ringSeconds: 1.5,
  dampingHz: 420,
  topHz: 7000,
  fingerLevel: 0.05,
}
const guitarString: StringKind = {
  pluckedAt: 0.13,
  stiffness: 4e-5,
  ringSeconds: 1.9,
  dampingHz: 1500,
  topHz: 14_000,
  fingerLevel: 0.07,
}

/** A plucked string as a sum of decaying partials, each by a rotating phasor, with the finger's noise at the start. */
const pluck = (out: Float64Array, note: Note, kind: StringKind, seed: string): void => {
  const start = Math.round(note.atSeconds * RATE)
  const fundamental = noteHz(note.midi)
  const frames = Math.min(out.length - start, Math.round((note.holdSeconds + 0.25) * RATE))
  const hold = Math.round(note.holdSeconds * RATE)
  for (let n = 1; ; n++) {
    const hz = n * fundamental * Math.sqrt(1 + kind.stiffness * n * n)
    if (hz > kind.topHz) break
    const level = (note.velocity * portable.sin(n * Math.PI * kind.pluckedAt)) / n
    if (Math.abs(level) < 1e-5) continue
    const step = (2 * Math.PI * hz) / RATE
    const ring = portable.exp(-1 / (RATE * (kind.ringSeconds / (1 + hz / kind.dampingHz))))
    const damped = portable.exp(-1 / (RATE * 0.045))
    const [turnRe, turnIm] = [portable.cos(step), portable.sin(step)]
    let re = level
    let im = 0
    for (let i = 0; i < frames; i++) {
      out[start + i]! += re
      const decay = i < hold ? ring : damped
      const next = (re * turnRe - im * turnIm) * decay
      im = (re * turnIm + im * turnRe) * decay
      re = next
    }
  }
  const burst = noise(Math.round(0.012 * RATE), seed)
  for (let i = 0; i < burst.length; i++) burst[i]! *= portable.exp(-i / (0.0022 * RATE))
  addInto(out, burst, note.velocity * kind.fingerLevel, start)
}

const strings = (notes: readonly Note[], kind: StringKind, seed: string): Float64Array => {
  const out = new Float64Array(FRAMES)
  notes.forEach((note, index) => {
    pluck(out, note, kind, `${seed} ${index}`)
  })
  return out
}

export const bassBridgeForce = (): Float64Array => strings(bassNotes, bassString, 'lantern bass finger')
export const guitarBridgeForce = (): Float64Array =>
  strings(guitarNotes, guitarString, 'lantern guitar finger')

/** The snare drum: what both heads do together (`stroke`) and the rattle of the wires under the lower head. */
export const snare = (): { stroke: Float64Array; wires: Float64Array } => {
  const stroke = new Float64Array(FRAMES)
  const wires = new Float64Array(FRAMES)
  // Frequency, level and decay of the modes of a 14-inch head: plausible figures of our own.
  const modes = [
    [186, 1, 0.11],
    [297, 0.5, 0.07],
    [398, 0.34, 0.055],
    [523, 0.22, 0.04],
    [741, 0.12, 0.03],
    [1180, 0.07, 0.02],
  ] as const
  snareStrokes.forEach((note, index) => {
    const start = Math.round(note.atSeconds * RATE)
    const hit = new Float64Array(Math.round(0.5 * RATE))
    for (const [hz, level, decaySeconds] of modes) {
      const bend = 1 + 0.012 * note.velocity
      for (let i = 0; i < hit.length; i++) {
        const t = i / RATE
        const sweep = hz * (t + (bend - 1) * 0.02 * (1 - portable.exp(-t / 0.02)))
        hit[i]! += level * portable.exp(-t / decaySeconds) * portable.sin(2 * Math.PI * sweep)
      }
    }
    const stick = through(noise(Math.round(0.02 * RATE), `lantern stick ${index}`), [
      highPass(350),
      lowPass(11_000),
    ])
    for (let i = 0; i < stick.length; i++) stick[i]! *= portable.exp(-i / (0.0016 * RATE))
    addInto(hit, stick, 0.9)
    addInto(stroke, hit, note.velocity, start)
    const rattle = through(noise(Math.round(0.45 * RATE), `lantern wires ${index}`), [
      highPass(1400),
      bandPass(5200, 0.5),
    ])
    for (let i = 0; i < rattle.length; i++)
      rattle[i]! *= portable.exp(-i / (0.075 * RATE)) * (1 - portable.exp(-i / (0.0015 * RATE)))
    addInto(wires, rattle, note.velocity, start + 14)
  })
  return { stroke, wires }
}
