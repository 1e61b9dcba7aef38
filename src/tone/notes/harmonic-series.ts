import type { TonalLine } from './tonal-lines.js'

/** A note heard in one frame: the lines that fit one harmonic series. */
export interface HeardNote {
  readonly fundamentalHz: number
  /** Energy of partial 1, 2, …, `PARTIALS`; 0 where none was found. */
  readonly energies: readonly number[]
}

/** Partials that are followed. */
export const PARTIALS = 16
/** Partials that the fundamental is told from. */
const TELLING = 6
/** Lowest and highest fundamental that counts as a note: A0 and about C7. */
const LOWEST_HZ = 27
const HIGHEST_HZ = 2200
/** How far a partial may lie beside its place: strings are stiff, and spectra have a width. */
const OFF_SHARE = 0.014
const OFF_BINS = 1
/** Notes looked for at one time, and the weakest of them against the strongest line: -30 dB. */
const VOICES = 8
const WEAKEST = 1e-3
/** A series needs that many lines to be a note, the fundamental among them. Fewer lines need to last. */
const LINES = 3

/** And so many more than fall on its places by chance: a cymbal has lines nearly everywhere. */
const OVER_CHANCE = 1.5

interface Series {
  readonly lines: readonly (TonalLine | null)[]
  readonly count: number
  readonly fit: number
  /** How many lines would fall on its places by chance, up to its last line. */
  readonly byChance: number
}

const nearest = (lines: readonly TonalLine[], hz: number, within: number): TonalLine | null => {
  let best: TonalLine | null = null
  for (const line of lines) {
    const off = Math.abs(line.frequencyHz - hz)
    if (off <= within && (best === null || line.energy > best.energy)) best = line
  }
  return best
}

/**
 * The lines at whole multiples of a fundamental. Its place is corrected by every line found, since high partials ask for it. Null without its
 * fundamental: such a series may be a chord. C, E and G are partials of a C two octaves down.
 */
const seriesAt = (
  fundamentalHz: number,
  lines: readonly TonalLine[],
  linesPerHz: number,
  binHz: number,
): Series | null => {
  const found: (TonalLine | null)[] = []
  let expected = 0
  let byChance = 0
  let place = fundamentalHz
  let count = 0
  let last = 0
  let amplitude = 0
  for (let partial = 1; partial <= PARTIALS; partial++) {
    const hz = place * partial
    const within = Math.max(OFF_SHARE * hz, OFF_BINS * binHz) / Math.sqrt(partial)
    const line = nearest(lines, hz, within)
    if (line === null && partial === 1) return null
    found.push(line)
    expected += Math.min(1, 2 * within * linesPerHz)
    if (line === null) continue
    count++
    byChance = expected
    last = partial
    amplitude += Math.sqrt(line.energy)
    place += (line.frequencyHz / partial - place) / (count + 1)
  }
  // Every second line missing is the mark of a fundamental an octave too low.
  return { lines: found, count, byChance, fit: (amplitude * count) / last }
}

const bestSeries = (
  strongest: TonalLine,
  lines: readonly TonalLine[],
  linesPerHz: number,
  binHz: number,
): Series | null => {
  let best: Series | null = null
  for (let partial = 1; partial <= 6; partial++) {
    const fundamental = strongest.frequencyHz / partial
    if (fundamental < LOWEST_HZ || fundamental > HIGHEST_HZ) continue
    const series = seriesAt(fundamental, lines, linesPerHz, binHz)
    if (series === null) continue
    if (best === null || series.fit > best.fit * 1.0001) best = series
  }
  return best
}

/** Least squares over the lower partials: each tells the fundamental the better, the higher it is, until stiffness stretches it. */
const fundamentalOf = (series: Series): number => {
  let product = 0
  let square = 0
  series.lines.slice(0, TELLING).forEach((line, index) => {
    if (line === null) return
    product += (index + 1) * line.frequencyHz
    square += (index + 1) * (index + 1)
  })
  return product / square
}

// The strongest line is there by choice, not by chance.
const isNote = ({ count, byChance }: Series): boolean => count >= LINES + OVER_CHANCE * byChance

/**
 * Notes of one frame: the strongest line is explained by the harmonic series that fits best, its lines are taken away, and so on.
 * `isTone` says whether a line is a note by itself: one that lasts, like a flute's, not the ring of a drum.
 */
export const notesOf = (
  lines: readonly TonalLine[],
  binHz: number,
  isTone: (line: TonalLine) => boolean,
): HeardNote[] => {
  const notes: HeardNote[] = []
  const weakest = (lines[0]?.energy ?? 0) * WEAKEST
  const frequencies = lines.map(line => line.frequencyHz)
  const linesPerHz = lines.length / (Math.max(...frequencies) - Math.min(...frequencies) + binHz)
  let rest = [...lines]
  while (rest[0] !== undefined && rest[0].energy >= weakest && notes.length < VOICES) {
    const strongest = rest[0]
    const series = bestSeries(strongest, rest, linesPerHz, binHz)
    if (series !== null && (isNote(series) || isTone(strongest))) {
      notes.push({
        fundamentalHz: fundamentalOf(series),
        energies: series.lines.map(line => line?.energy ?? 0),
      })
      rest = rest.filter(line => !series.lines.includes(line))
    } else {
      rest = rest.slice(1)
    }
  }
  return notes
}
