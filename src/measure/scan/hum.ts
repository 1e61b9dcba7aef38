import { median } from '../../signal/statistics.js'
import * as portable from '../../terms/portable.js'
import type { Hum } from '../measurement.js'
import { meanSpectrum, powerSpectra } from './power-spectra.js'

const MAINS_HZ = [50, 60] as const
const HARMONICS = 12
// Twelve times 60, and room for the noise beside.
const HIGHEST_HZ = 900
// A line stands out when it holds this many times the power that the noise beside it puts into the same bins: 10 dB.
const STANDS_OUT = 10
// One line alone is taken for mains only where it stands out by 20 dB; two lines bear each other out.
const ONE_LINE_STANDS_OUT = 100
// Mains keep their frequency within 0.4 %: 0.2 Hz at 50.
const MAINS_TOLERANCE = 0.004
// Hum goes on: in the quietest quarter of the windows it may be at most this much weaker than in the middle one, and inside the
// windows the second half may differ by 2 dB from the first. A note that dies away in the gap does not.
const STEADY = 0.4
const HALVES_DIFFER = 1.6
// Bins of a Hann window's main lobe on either side, and beside it those that tell the noise.
const LOBE = 2
const NOISE_FROM = 4
const NOISE_TO = 11

/** Window length for hum in frames, a power of two: 0.5 to 1 s for the long one, half of it for the short one. */
export const humWindow = (sampleRateHz: number, short: boolean): number => {
  let size = 4096
  while (size < sampleRateHz / 2) size *= 2
  return short ? size / 2 : size
}

/**
 * Looks for mains hum in frames that hold no playing: the lines of 50 or 60 Hz and their multiples up to the twelfth that stand
 * out of the noise by 10 dB at the right frequency, all the time. `windows`: each of one and the same power-of-two length.
 * Level: rms of all lines of the series together, dBFS (a full-scale sine has -3.01). Null where there is none.
 */
export const humIn = (windows: readonly Float64Array[], sampleRateHz: number): Hum | null => {
  const size = windows[0]?.length ?? 0
  if (size === 0) return null
  const binHz = sampleRateHz / size
  const spectra = powerSpectra(windows, binHz, HIGHEST_HZ)
  const looked: Looked = { windows, spectra, mean: meanSpectrum(spectra), binHz }
  const found = MAINS_HZ.map(mainsHz => series(mainsHz, looked))
  const [fifty, sixty] = found as [Series, Series]
  const best = sixty.ownPower > fifty.ownPower ? sixty : fifty
  if (!best.present) return null
  return { frequencyHz: best.mainsHz, levelDbfs: 10 * portable.log10(best.power) }
}

interface Looked {
  readonly windows: readonly Float64Array[]
  readonly spectra: readonly Float64Array[]
  readonly mean: Float64Array
  readonly binHz: number
}

interface Series {
  readonly mainsHz: 50 | 60
  readonly present: boolean
  /** Mean square of all its lines. */
  readonly power: number
  /** Of the lines that do not belong to both series as well (300 and 600 Hz do). */
  readonly ownPower: number
}

const series = (mainsHz: 50 | 60, looked: Looked): Series => {
  const { mean, binHz } = looked
  const lines = Array.from({ length: HARMONICS }, (_, h) => mainsHz * (h + 1))
    .filter(hz => hz / binHz + NOISE_TO < mean.length)
    .map(hz => ({ hz, own: hz % 300 !== 0, ...lineAt(mean, hz, binHz) }))
    .filter(line => line.standsOut >= STANDS_OUT && line.onFrequency)
  const own = lines.filter(line => line.own)
  const power = lines.reduce((sum, line) => sum + line.power, 0)
  const ownPower = own.reduce((sum, line) => sum + line.power, 0)
  const borneOut = own.length >= 2 || own.some(line => line.standsOut >= ONE_LINE_STANDS_OUT)
  const low = own.some(line => line.hz <= 3 * mainsHz)
  const present = borneOut && low && isSteady(looked, own)
  return { mainsHz, present, power, ownPower: present ? ownPower : 0 }
}

interface Line {
  /** Mean square of the line, noise taken off. */
  readonly power: number
  /** Its power against the noise's in the same bins. */
  readonly standsOut: number
  readonly onFrequency: boolean
}

const lineAt = (spectrum: Float64Array, hz: number, binHz: number): Line => {
  const centre = Math.round(hz / binHz)
  const beside: number[] = []
  for (let offset = NOISE_FROM; offset <= NOISE_TO; offset++) {
    for (const bin of [centre - offset, centre + offset]) {
      // Near 0 Hz lies what is left of an offset; other multiples of the mains are far away at the window's length.
      if (bin * binHz > 15) beside.push(spectrum[bin]!)
    }
  }
  const noise = median(beside)
  let power = 0
  let moment = 0
  for (let bin = centre - LOBE; bin <= centre + LOBE; bin++) {
    const over = spectrum[bin]! - noise
    power += over
    moment += over * bin
  }
  // What noise there is draws the centre of gravity about: a fifth of a bin is granted.
  const offHz = Math.abs((moment / power) * binHz - hz)
  return {
    power: Math.max(0, power),
    standsOut: noise > 0 ? power / (noise * (2 * LOBE + 1)) : 0,
    onFrequency: offHz <= MAINS_TOLERANCE * hz + binHz / 5,
  }
}

const isSteady = (
  { windows, spectra, binHz }: Looked,
  lines: readonly { readonly hz: number }[],
): boolean => {
  const powerIn = (spectrum: Float64Array, width: number): number =>
    lines.reduce((sum, { hz }) => sum + lineAt(spectrum, hz, width).power, 0)
  const powers = spectra.map(spectrum => powerIn(spectrum, binHz)).sort((a, b) => a - b)
  if (powers[Math.floor(powers.length / 4)]! < STEADY * median(powers)) return false
  // Half as long, so bins twice as wide.
  const half = windows[0]!.length / 2
  const [first, second] = [0, half].map(start => {
    const parts = windows.map(samples => samples.subarray(start, start + half))
    return powerIn(meanSpectrum(powerSpectra(parts, 2 * binHz, HIGHEST_HZ)), 2 * binHz)
  }) as [number, number]
  return Math.max(first, second) <= HALVES_DIFFER * Math.min(first, second)
}
