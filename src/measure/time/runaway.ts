import { exactShift } from '../spectra/schedule.js'
import type { LagStep } from './block-lag.js'
import type { BlockPeak } from './block-peaks.js'
import { longestStretch, type Motion } from './motion.js'

/** Peaks of one block, with its place in the take. */
export interface TimedPeaks {
  readonly atSeconds: number
  readonly peaks: readonly BlockPeak[]
}

/** Two clocks may differ by so much: 300 parts in a million. */
const MAX_PPM = 300
const STEP_PPM = 2
/** Peaks within this many frames of a line belong to it; a block of a second smears by 10 at 200 ppm. */
const WIDTH_FRAMES = 6
/** A sloping line must gather this much more than the best level one. */
const BETTER = 1.3
/** A block speaks for a level with peaks of at least this part of its highest. */
const CLEARLY = 0.6
const MAX_LEVELS = 4
/** Fewer blocks than this do not make a level of their own. */
const LEAST_RUN = 3
const LEAST_BLOCKS = 4

/**
 * Where the lag runs away during the take, by drift or by jumps wider than a fine pass can follow: a motion to follow;
 * null where one level explains the blocks as well. The search range holds at the first sound (of `peaks`).
 */
export const runawayMotion = (
  blocks: readonly TimedPeaks[],
  searchSamples: number,
  sampleRateHz: number,
): Motion | null => {
  const heard = blocks.filter(b => b.peaks.length > 0)
  if (heard.length < LEAST_BLOCKS) return null
  const start = heard[0]!.atSeconds
  const end = heard[heard.length - 1]!.atSeconds
  const span = Math.max(1, end - start)
  // Finer than needed for a line to stay within its width over the whole take.
  const stepPpm = Math.max(0.5, Math.min(STEP_PPM, (WIDTH_FRAMES * 1e6) / (span * sampleRateHz)))
  const perSecond = (ppm: number): number => ppm * 1e-6 * sampleRateHz
  const flat = bestLine(heard, start, 0, searchSamples)
  let best = { ...flat, slope: 0 }
  for (let ppm = -MAX_PPM; ppm <= MAX_PPM; ppm += stepPpm) {
    const line = bestLine(heard, start, perSecond(ppm), searchSamples)
    if (line.weight > best.weight && (best.slope !== 0 || line.weight > BETTER * flat.weight)) {
      best = { ...line, slope: perSecond(ppm) }
    }
  }
  const levels = [best.offset]
  for (let rest = apartFrom(heard, start, best.slope, levels); levels.length < MAX_LEVELS; ) {
    const next = bestLine(rest, start, best.slope, searchSamples)
    if (next.weight < 0.15 * best.weight) break
    levels.push(next.offset)
    rest = apartFrom(heard, start, best.slope, levels)
  }
  const labels = smoothLabels(heard.map(b => nearestLevel(b, start, best.slope, levels)))
  if (best.slope === 0 && new Set(labels).size === 1) return null
  return knots(heard, labels, levels, best.slope, start)
}

const bestLine = (
  blocks: readonly TimedPeaks[],
  start: number,
  slope: number,
  searchSamples: number,
): { offset: number; weight: number } => {
  const cells = new Map<number, { weight: number; moment: number }>()
  for (const { atSeconds, peaks } of blocks) {
    for (const { lagSamples, height } of peaks) {
      const offset = lagSamples - slope * (atSeconds - start)
      if (Math.abs(offset) > searchSamples) continue
      const sign = height > 0 ? 1 : -1
      // Two grids half a cell apart, so that no line falls between; polarities are kept apart.
      for (const half of [0, 0.5]) {
        const key =
          (Math.floor(offset / WIDTH_FRAMES + half) * 2 + (half > 0 ? 1 : 0)) * 2 + (sign > 0 ? 1 : 0)
        const cell = cells.get(key) ?? { weight: 0, moment: 0 }
        const weight = Math.min(400, height * height)
        cell.weight += weight
        cell.moment += weight * offset
        cells.set(key, cell)
      }
    }
  }
  let best = { offset: 0, weight: 0 }
  for (const { weight, moment } of cells.values()) {
    if (weight > best.weight) best = { offset: moment / weight, weight }
  }
  return best
}

const apartFrom = (
  blocks: readonly TimedPeaks[],
  start: number,
  slope: number,
  levels: readonly number[],
): TimedPeaks[] =>
  blocks.map(({ atSeconds, peaks }) => {
    const highest = Math.max(0, ...peaks.map(p => Math.abs(p.height)))
    // A block that speaks clearly for a level already has no say in another one: its weaker peaks are echoes. A faint peak at an old level is
    // itself an echo of what the block speaks for.
    const speaks = peaks.some(
      p =>
        Math.abs(p.height) >= CLEARLY * highest &&
        levels.some(l => Math.abs(p.lagSamples - slope * (atSeconds - start) - l) < 2 * WIDTH_FRAMES),
    )
    return { atSeconds, peaks: speaks ? [] : peaks }
  })

const nearestLevel = (block: TimedPeaks, start: number, slope: number, levels: readonly number[]): number => {
  let best = -1
  let most = 0
  for (const { lagSamples, height } of block.peaks) {
    levels.forEach((level, i) => {
      const apart = Math.abs(lagSamples - slope * (block.atSeconds - start) - level)
      if (apart < 2 * WIDTH_FRAMES && Math.abs(height) > most) {
        most = Math.abs(height)
        best = i
      }
    })
  }
  return best
}

// Blocks without an opinion follow the one before; runs too short to be a level follow their surroundings.
const smoothLabels = (labels: readonly number[]): number[] => {
  const out = [...labels]
  const first = out.find(l => l >= 0) ?? 0
  out.forEach((l, i) => {
    if (l < 0) out[i] = i > 0 ? out[i - 1]! : first
  })
  for (let i = 0; i < out.length; ) {
    let end = i
    while (end < out.length && out[end] === out[i]) end++
    if (end - i < LEAST_RUN && (i > 0 || end < out.length)) out.fill(i > 0 ? out[i - 1]! : out[end]!, i, end)
    i = end
  }
  return out
}

const knots = (
  blocks: readonly TimedPeaks[],
  labels: readonly number[],
  levels: readonly number[],
  slope: number,
  start: number,
): Motion => {
  const schedule: { atSeconds: number; shiftSamples: number }[] = []
  const steps: LagStep[] = []
  const lagAt = (atSeconds: number, label: number): number => levels[label]! + slope * (atSeconds - start)
  const add = (atSeconds: number, label: number): void => {
    schedule.push({ atSeconds, shiftSamples: lagAt(atSeconds, label) })
  }
  // A line is drawn on to the ends of any take.
  add(start - 60, labels[0]!)
  labels.forEach((label, i) => {
    const before = labels[i - 1]
    if (before === undefined || label === before) return
    const atSeconds = (blocks[i - 1]!.atSeconds + blocks[i]!.atSeconds) / 2
    add(atSeconds - 1e-3, before)
    add(atSeconds + 1e-3, label)
    steps.push({ atSeconds, fromSamples: lagAt(atSeconds, before), toSamples: lagAt(atSeconds, label) })
  })
  const end = blocks[blocks.length - 1]!.atSeconds
  add(end + 60, labels[labels.length - 1]!)
  const anchor = steps.length > 0 ? longestStretch(steps, start, end) : start
  return { schedule, anchorSamples: exactShift(schedule, anchor), slope, steps, swaySamples: 0 }
}
