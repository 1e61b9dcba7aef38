import { float64 } from '../../signal/kernel/arena.js'
import type { FrameGrid } from './frame-grid.js'
import type { FrameSource } from './frame-source.js'

const READ_HOPS = 24

/** Reads each source in long pieces and hands out overlapping frames of them. */
export class ReadAhead {
  readonly #pieces: { start: number; planar: Float64Array[] }[]
  readonly #length: number
  readonly #window: number
  readonly #sources: readonly FrameSource[]

  constructor(sources: readonly FrameSource[], grid: FrameGrid) {
    this.#sources = sources
    this.#window = grid.windowLength
    this.#length = grid.windowLength + READ_HOPS * grid.hop
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
