import { float64 } from '../../signal/kernel/arena.js'
import type { FrameGrid } from './frame-grid.js'
import type { FrameSource } from './frame-source.js'

const READ_HOPS = 8
const LEAST_HOPS = 1
/** Of many channels, and of long windows, less is read at a time: so many frames of all channels together, 2 MB. */
const ALL_FRAMES = 1 << 18

/** Reads each source in pieces and hands out overlapping frames of them; what two pieces have in common is read once. */
export class ReadAhead {
  readonly #pieces: { start: number; planar: Float64Array[] | null }[]
  readonly #length: number
  readonly #window: number
  readonly #sources: readonly FrameSource[]

  /** `sounding`: channels that will be asked for. */
  constructor(sources: readonly FrameSource[], grid: FrameGrid, sounding: number) {
    this.#sources = sources
    this.#window = grid.windowLength
    const channels = Math.max(1, sounding)
    const ahead = Math.floor((ALL_FRAMES / channels - grid.windowLength) / grid.hop)
    const hops = Math.max(LEAST_HOPS, Math.min(READ_HOPS, ahead))
    this.#length = grid.windowLength + hops * grid.hop
    this.#pieces = sources.map(() => ({ start: Number.NEGATIVE_INFINITY, planar: null }))
  }

  at(trace: { readonly source: number; readonly channel: number }, start: number): Float64Array {
    const piece = this.#pieces[trace.source]!
    const source = this.#sources[trace.source]!
    // A source that nobody asks for takes no memory.
    piece.planar ??= Array.from({ length: source.channels }, () => float64(this.#length))
    if (!(start >= piece.start && start + this.#window <= piece.start + this.#length)) {
      const held = this.#length - (start - piece.start)
      const kept = start > piece.start && held > 0 ? held : 0
      if (kept > 0) for (const samples of piece.planar) samples.copyWithin(0, this.#length - kept)
      source.read(
        start + kept,
        piece.planar.map(samples => samples.subarray(kept)),
      )
      piece.start = start
    }
    const offset = start - piece.start
    return piece.planar[trace.channel]!.subarray(offset, offset + this.#window)
  }
}
