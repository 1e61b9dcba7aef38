import { RealFft } from '../../signal/fft.js'
import * as portable from '../../terms/portable.js'
import { hannOverlap } from '../spectra/frame-grid.js'
import { bandEnergies, octaveBands } from './octaves.js'
import type { PairSums } from './pair-sums.js'

/** The best lag beside the arrival, as the loud sound of every octave sees it. */
export interface OctaveRival {
  /** Its height over the height at the arrival: 1 = nothing tells them apart. */
  readonly ratio: number
  /** Frames from the arrival. */
  readonly excessSamples: number
  /** Sign against that of the arrival. */
  readonly sign: 1 | -1
}

/** How the loud sound of all octaves lines up at any lag; see `octaveCurve`. */
export interface OctaveCurve {
  /** Best lag outside of the arrival's own lobe. */
  readonly rival: OctaveRival
  /** Half width of the arrival's own lobe, frames: to where the curve has fallen to half. */
  readonly lobeSamples: number
  /** Largest size of the curve within a frame of a lag (from the arrival, frames), over its height at the arrival. */
  ratioAt(excessSamples: number): number
}

/** What counts. */
export interface OctaveWish {
  /** Bins of an octave count by `|S|` to this power: with 1 its partials alone. */
  readonly power: 0.5 | 1
  /** Only octaves within 15 dB of the loudest common one: what is fainter may be a bleed from end to end. */
  readonly loud: boolean
}

/** Under this a loudspeaker's own group delay is too large to argue with. */
const LOWEST_HZ = 180
const LOUD = 0.03
/** The arrival of all bins and the top of this curve may differ by so much, frames. */
const NEAR = 4
/** No lobe is wider than this, seconds. */
const LOBE_SECONDS = 0.04
/** Windows that hold less than this part of each other's sound are not corrected further. */
const LEAST_OVERLAP = 0.2

/**
 * Correlation in which every octave from 250 Hz on weighs alike where it is coherent, and within an octave every bin by
 * `|S|^power`: with 1 the partials of notes alone count, with 1/2 what lies between them a little too. The search gives a vote to
 * every coherent bin; there the skirts of a steady line follow the lag by which the sources were read ahead, and a faint bleed
 * that fills the gaps between the partials outvotes them. Here neither does: a held note fits as well one period later, and a
 * bleed is as faint as it is.
 */
export const octaveCurve = (
  sums: PairSums,
  lagSamples: number,
  sign: 1 | -1,
  range: readonly [low: number, high: number],
  { power, loud }: OctaveWish,
): OctaveCurve => {
  const fft = new RealFft(2 * sums.fftSize)
  const curve = new Float64Array(fft.size)
  fft.inverse(octaveSpectrum(sums, fft.size, power, loud), curve)
  const at = (half: number): number =>
    curve[((half % fft.size) + fft.size) % fft.size]! /
    Math.max(LEAST_OVERLAP, hannOverlap(half / 2 / sums.windowLength))
  const centre = Math.round(2 * lagSamples)
  let top = centre
  for (let i = centre - 2 * NEAR; i <= centre + 2 * NEAR; i++) if (sign * at(i) > sign * at(top)) top = i
  const height = Math.max(1e-300, sign * at(top))
  const widest = Math.round(2 * LOBE_SECONDS * sums.sampleRateHz)
  let left = top
  let right = top
  while (left > top - widest && sign * at(left) > height / 2) left--
  while (right < top + widest && sign * at(right) > height / 2) right++
  let most = top
  let size = 0
  for (let i = Math.ceil(2 * range[0]); i <= 2 * range[1]; i++) {
    if (i >= left && i <= right) continue
    if (Math.abs(at(i)) > size) {
      size = Math.abs(at(i))
      most = i
    }
  }
  return {
    rival: {
      ratio: size / height,
      excessSamples: (most - top) / 2,
      sign: sign * at(most) > 0 ? 1 : -1,
    },
    lobeSamples: Math.max(top - left, right - top) / 2,
    ratioAt: excess => {
      const middle = Math.round(2 * excess) + centre
      let found = 0
      for (let i = middle - 2; i <= middle + 2; i++) found = Math.max(found, Math.abs(at(i)))
      return found / height
    },
  }
}

const octaveSpectrum = (
  sums: PairSums,
  size: number,
  power: OctaveWish['power'],
  loud: boolean,
): Float64Array => {
  const octaves = octaveBands(sums.sampleRateHz, sums.fftSize)
    .filter(band => band.middleHz >= LOWEST_HZ)
    .map(band => {
      const energies = bandEnergies(sums, band)
      return {
        ...band,
        ...energies,
        weight: power === 1 ? energies.common : rootsOf(sums, band.from, band.to),
      }
    })
  const loudest = Math.max(0, ...octaves.map(o => o.common))
  const spectrum = new Float64Array(size + 2)
  for (const { from, to, first, second, common, weight } of octaves) {
    if (!(first * second > 0 && weight > 0 && common >= (loud ? LOUD * loudest : 0))) continue
    // Squared coherence of the octave: one that holds noise says next to nothing.
    const gain = (common * common) / (first * second * weight)
    for (let k = from; k < to; k++) {
      const size = portable.hypot(sums.cross[2 * k]!, sums.cross[2 * k + 1]!)
      if (size === 0) continue
      const factor = power === 1 ? gain : gain / Math.sqrt(size)
      spectrum[2 * k] = sums.cross[2 * k]! * factor
      spectrum[2 * k + 1] = sums.cross[2 * k + 1]! * factor
    }
  }
  return spectrum
}

// Sum of the roots of the sizes of the cross-spectrum.
const rootsOf = (sums: PairSums, from: number, to: number): number => {
  let roots = 0
  for (let k = from; k < to; k++)
    roots += Math.sqrt(portable.hypot(sums.cross[2 * k]!, sums.cross[2 * k + 1]!))
  return roots
}

/** The rival that all octaves and the loud ones alone agree to: of both views the one that leaves less of it. */
export const octaveRival = (
  sums: PairSums,
  lagSamples: number,
  sign: 1 | -1,
  range: readonly [low: number, high: number],
  power: OctaveWish['power'],
): OctaveRival => {
  const [all, loud] = [false, true].map(
    only => octaveCurve(sums, lagSamples, sign, range, { power, loud: only }).rival,
  )
  return all!.ratio < loud!.ratio ? all! : loud!
}
