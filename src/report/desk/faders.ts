import * as portable from '../../terms/portable.js'
import type { SummedPart } from '../../tone/predict/blend-power.js'
import type { DeskBlend, DeskLeaf, DeskStrip } from './desk.js'

/** Where the listener has put one source of a blend; all at rest = as delivered. */
export interface Fader {
  /** Change against the delivered gain, dB. */
  readonly gainDb: number
  /** Turned over against how it is delivered. */
  readonly turned: boolean
  /** Later than delivered, ms; −5 … +5. */
  readonly laterMs: number
  /** Left out of the blend. */
  readonly off: boolean
}

export const AT_REST: Fader = { gainDb: 0, turned: false, laterMs: 0, off: false }

/** Furthest that a source can be moved, ms. */
export const FADER_REACH_MS = 5

/** What all leaves of a strip are multiplied with. */
export const faderGain = ({ gainDb, turned, off }: Fader): number =>
  off ? 0 : (turned ? -1 : 1) * portable.exp(gainDb * (Math.LN10 / 20))

/** By how much a strip is later, frames; whole where the group is moved by whole frames only. */
export const faderSamples = ({ laterMs }: Fader, sampleRateHz: number, wholeFrames: boolean): number => {
  const samples = (laterMs * sampleRateHz) / 1000
  return wholeFrames ? Math.round(samples) : samples
}

export interface SetLeaf {
  readonly leaf: DeskLeaf
  readonly strip: DeskStrip
  readonly gain: number
  readonly laterSamples: number
}

/** All recordings of a blend with what the faders make of them. `faders`: one per strip. */
export const setLeaves = (
  blend: DeskBlend,
  faders: readonly Fader[],
  sampleRateHz: number,
  wholeFrames: boolean,
): readonly SetLeaf[] =>
  blend.strips.flatMap((strip, s) => {
    const fader = faders[s] ?? AT_REST
    return strip.leaves.map(leaf => ({
      leaf,
      strip,
      gain: leaf.gain * faderGain(fader),
      laterSamples: faderSamples(fader, sampleRateHz, wholeFrames),
    }))
  })

/** The same as the tone sees it: per channel of the blend, the signals that are summed. */
export const summedParts = (
  blend: DeskBlend,
  leaves: readonly SetLeaf[],
  sampleRateHz: number,
): readonly (readonly SummedPart[])[] =>
  Array.from({ length: blend.channels }, (_, channel) =>
    leaves.map(({ leaf, gain, laterSamples }) => ({
      signal: leaf.signals[channel]!,
      gain,
      laterSeconds: (leaf.laterSamples + laterSamples) / sampleRateHz,
    })),
  )
