import { float64 } from '../../signal/kernel/arena.js'
import type { FrameGrid } from './frame-grid.js'
import type { FrameSource } from './frame-source.js'

const READ_HOPS = 24
/** Of many channels less is read at a time: so many hops of all of them together. */
const ALL_HOPS = 256
const LEAST_HOPS = 4

/** Reads each source in long pieces and hands out overlapping frames of them. */
export class ReadAhead {
  readonly #pieces: { start: number; planar: Float64Array[] }[]
  readonly #length: number
  readonly #window: number
  readonly #sources: readonly FrameSource[]

  constructor(sources: readonly FrameSource[], grid: FrameGrid) {
    this.#sources = sources
    this.#window = grid.windowLength
    const channels = sources.reduce((sum, source) => sum + source.channels, 0)
    const hops = Math.max(LEAST_HOPS, Math.min(READ_HOPS, Math.floor(ALL_HOPS / channels)))
    this.#length = grid.windowLength + hops * grid.hop
    this.#pieces = sources.map(source => ({
      start: Number.NEGATIVE_INFINITY,
      planar: Array.from({ length: source.channels }, () => float64(this.#length)),
    }))
  }

  at(trace: { readonly source: number; readonly channel: number }, start: number): Float64Array {
    const piece = this.#pieces[trace.source]!
    if (!(start >= piece.start && start + this.#window <= piece.start + this.#length)) {
      this.#sources[trace.source]!.read(start, piece.planar)
      piece.start = start
    }
    const offset = start - piece.start
    return piece.planar[trace.channel]!.subarray(offset, offset + this.#window)
  }
}
