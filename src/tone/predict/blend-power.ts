import * as portable from '../../terms/portable.js'
import type { GroupSpectra } from './cross-spectra.js'

/** One signal in a sum. */
export interface SummedPart {
  /** Index into the signals of the spectra. */
  readonly signal: number
  /** Amplitude factor with its sign. */
  readonly gain: number
  /** How much later it is than where it lay when the spectra were taken, seconds. */
  readonly laterSeconds: number
}

/** Energy densities of a sum, one value per bin. */
export interface BlendPower {
  /** What the sum has: sum over i, j of gi gj Re{ Sij e^(j 2 pi f (ti - tj)) }. Can fall a rounding error below 0. */
  readonly power: Float64Array
  /** What it would have if all that the parts share were in phase: sum of |gi gj Sij|. Never less than `power`. */
  readonly inPhase: Float64Array
}

/** From here on a part that comes later is heard as an echo, not as a change of tone (30 to 50 ms; from memory: Haas 1951). */
export const ECHO_SECONDS = 0.05

interface Pair {
  readonly a: SummedPart
  readonly b: SummedPart
  readonly index: number
}

const pairsOf = (parts: readonly SummedPart[], spectra: GroupSpectra): Pair[] =>
  spectra.pairs.flatMap(([i, j], index) => {
    const a = parts.find(part => part.signal === i)
    const b = parts.find(part => part.signal === j)
    return a === undefined || b === undefined ? [] : [{ a, b, index }]
  })

/**
 * The sum of parts, each moved. Signals that the spectra do not pair share nothing here. With `echoSeconds`, parts that are moved
 * apart by more add as powers: over every band that an ear tells apart the many teeth of so fine a comb come to that.
 */
export const blendPower = (
  parts: readonly SummedPart[],
  spectra: GroupSpectra,
  echoSeconds = Number.POSITIVE_INFINITY,
): BlendPower => {
  const { frequenciesHz } = spectra.bins
  const power = new Float64Array(frequenciesHz.length)
  for (const { signal, gain } of parts) {
    const auto = spectra.auto[signal]!
    for (let k = 0; k < power.length; k++) power[k] = power[k]! + gain * gain * auto[k]!
  }
  const inPhase = power.slice()
  for (const { a, b, index } of pairsOf(parts, spectra)) {
    const { real, imaginary } = spectra.cross[index]!
    const both = 2 * a.gain * b.gain
    const apart = a.laterSeconds - b.laterSeconds
    const isEcho = Math.abs(apart) > echoSeconds
    for (let k = 0; k < power.length; k++) {
      const re = real[k]!
      const im = imaginary[k]!
      inPhase[k] = inPhase[k]! + Math.abs(both) * portable.hypot(re, im)
      if (isEcho) continue
      const turn = 2 * Math.PI * frequenciesHz[k]! * apart
      power[k] = power[k]! + both * (re * portable.cos(turn) - im * portable.sin(turn))
    }
  }
  return { power, inPhase }
}

/** The same, channel by channel, and added: how a stem of several channels is heard. */
export const addPowers = (channels: readonly BlendPower[]): BlendPower => {
  const [first, ...rest] = channels
  if (first === undefined) throw new RangeError('a stem has at least one channel')
  const total = { power: first.power.slice(), inPhase: first.inPhase.slice() }
  for (const channel of rest) {
    for (let k = 0; k < total.power.length; k++) {
      total.power[k] = total.power[k]! + channel.power[k]!
      total.inPhase[k] = total.inPhase[k]! + channel.inPhase[k]!
    }
  }
  return total
}
