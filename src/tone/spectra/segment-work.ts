import { Decimator } from '../../signal/decimate.js'
import { float64 } from '../../signal/kernel/arena.js'
import { powerInto } from '../../signal/single-sums.js'
import { PlayedNotes } from '../notes/played.js'
import { FrameSums, type SignalPlace } from './frame-sums.js'
import type { SpectralGrid } from './resolution.js'
import type { SegmentSums } from './sums.js'
import type { TimelineReader } from './timeline-reader.js'
import type { View } from './view.js'

/** The low signal is kept flat up to this share of its half rate: 715 Hz at the lowest rate, beyond the crossover of the bins. */
const LOW_BAND = 0.55

/** The last frames of every signal in one array each, moved down as new ones come in at the end. */
class Recent {
  readonly signals: readonly Float64Array[]

  constructor(signals: number, frames: number) {
    this.signals = Array.from({ length: signals }, () => float64(frames))
  }

  append(signal: number, samples: Float64Array): void {
    const buffer = this.signals[signal]!
    buffer.copyWithin(0, samples.length)
    buffer.set(samples, buffer.length - samples.length)
  }
}

/** Both resolutions and the notes of one piece of time, block by block in order. */
export class SegmentWork {
  readonly #view: View
  readonly #grid: SpectralGrid
  readonly #reader: TimelineReader
  readonly #normal: FrameSums
  readonly #low: FrameSums
  readonly #notes: PlayedNotes
  readonly #power: Float64Array
  readonly #block: readonly Float64Array[]
  readonly #recent: Recent
  readonly #recentLow: Recent
  readonly #decimators: readonly Decimator[]
  readonly #decimated: Float64Array
  /** Blocks are read so much ahead that the decimators, which look ahead themselves, are ready up to the block's end. */
  readonly #ahead: number

  constructor(view: View, grid: SpectralGrid, reader: TimelineReader) {
    const { normal, low, blockFrames } = grid
    const count = view.signals.length
    this.#view = view
    this.#grid = grid
    this.#reader = reader
    this.#normal = new FrameSums(view, normal)
    this.#low = new FrameSums(view, low)
    this.#notes = new PlayedNotes(normal.binHz)
    this.#power = float64(normal.fftSize / 2 + 1)
    this.#block = view.signals.map(() => float64(blockFrames))
    this.#decimators = view.signals.map(() => new Decimator(low.factor, { bandFraction: LOW_BAND }))
    const half = this.#decimators[0]?.halfLength ?? 0
    this.#ahead = Math.floor(half / low.factor) * low.factor
    this.#recent = new Recent(count, normal.window.length - normal.hop + blockFrames + this.#ahead)
    this.#recentLow = new Recent(count, low.window.length)
    this.#decimated = float64((this.#decimators[0]?.outputLength(blockFrames) ?? 0) + 1)
  }

  /** The block that begins at `start`. `counts` false: only to fill the memory. */
  block(start: number, counts: boolean): void {
    const { blockFrames, normal } = this.#grid
    this.#reader.read(start + this.#ahead, this.#block)
    this.#block.forEach((samples, signal) => {
      this.#recent.append(signal, samples)
      const ready = this.#decimators[signal]!.push(samples, this.#decimated)
      this.#recentLow.append(signal, this.#decimated.subarray(0, ready))
    })
    for (let end = normal.hop; end <= blockFrames; end += normal.hop) {
      this.#normalFrame(start + end - normal.window.length, end - normal.hop, counts)
    }
    if (counts) this.#lowFrame(start + blockFrames)
  }

  result(): SegmentSums {
    return {
      normal: this.#normal.sums(),
      low: this.#low.sums(),
      notes: this.#notes.energies,
      heard: this.#notes.heard,
      moments: this.#notes.moments,
    }
  }

  #normalFrame(start: number, inMemory: number, counts: boolean): void {
    const length = this.#grid.normal.window.length
    const sums = this.#normal
    if (!sums.transform(this.#recent.signals, inMemory)) {
      this.#notes.rest()
      return
    }
    this.#mixPower(sums.latest)
    this.#notes.hear(this.#power, counts, Math.max(0, start / this.#view.sampleRateHz))
    if (!counts) return
    sums.add(this.#places(start, length))
  }

  #lowFrame(end: number): void {
    const { window, factor } = this.#grid.low
    const length = window.length * factor
    if (this.#low.transform(this.#recentLow.signals, 0)) this.#low.add(this.#places(end - length, length))
  }

  /** Where each signal lies around the middle of a window. */
  #places(start: number, length: number): SignalPlace[] {
    const middle = start + length / 2
    return this.#view.signals.map(({ source }) => ({
      offset: this.#reader.offset(source, middle),
      sign: this.#reader.sign(source, middle),
    }))
  }

  #mixPower(spectra: readonly Float32Array[]): void {
    const power = this.#power.fill(0)
    this.#view.signals.forEach(({ weight }, signal) => {
      powerInto(spectra[signal]!, power, weight)
    })
  }
}
