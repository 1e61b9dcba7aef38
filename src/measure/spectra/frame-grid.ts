import * as portable from '../../terms/portable.js'
/**
 * The fixed grid of analysis frames over the time of a group. It depends on the length of the material alone, so that a
 * result does not depend on the number of workers. Frame `h` ends at `(h + 1) * hop` and is `windowLength` long: the first
 * frames hang over the start and the last over the end, and every sample in between weighs the same.
 */
export interface FrameGrid {
  readonly sampleRateHz: number
  readonly fftSize: number
  /** `hopsPerWindow * hop`, at most `fftSize`; the rest of the transform is zeros. */
  readonly windowLength: number
  readonly hop: number
  readonly hopsPerWindow: number
  /** Number of analysis frames. */
  readonly hops: number
  /** Parts of time for leaving one out; each is a run of whole hops. */
  readonly folds: number
  /** Hops to one block of the lag-over-time curve. */
  readonly hopsPerBlock: number
}

/** One stretch of the grid that is worked through in one go. */
export interface GridSegment {
  readonly fold: number
  readonly firstHop: number
  /** Not included. */
  readonly endHop: number
}

export interface GridWish {
  readonly sampleRateHz: number
  /** Frames of the reference. */
  readonly frames: number
  /** A power of two. */
  readonly fftSize: number
  /**
   * 3: a third of the window, where every instant weighs exactly the same; 2: half, where the weight of an instant ripples
   * (cost 2.7 % in the error, computed from the sum of squared Hann windows).
   */
  readonly hopsPerWindow: 2 | 3
  readonly folds: number
  readonly blockSeconds: number
}

/** The grid for a take: it depends on lengths alone, never on threads or blocks. */
export const frameGrid = (wish: GridWish): FrameGrid => {
  const hop = Math.floor(wish.fftSize / wish.hopsPerWindow)
  const hops = Math.max(1, Math.ceil(wish.frames / hop) + wish.hopsPerWindow - 1)
  return {
    sampleRateHz: wish.sampleRateHz,
    fftSize: wish.fftSize,
    windowLength: hop * wish.hopsPerWindow,
    hop,
    hopsPerWindow: wish.hopsPerWindow,
    hops,
    folds: Math.min(wish.folds, hops),
    hopsPerBlock: Math.max(1, Math.round((wish.blockSeconds * wish.sampleRateHz) / hop)),
  }
}

/** First frame of the group's time that analysis frame `hop` sees. */
export const frameStart = (grid: FrameGrid, hop: number): number => (hop + 1) * grid.hop - grid.windowLength

/** Middle of analysis frame `hop`, seconds. */
export const frameMiddleSeconds = (grid: FrameGrid, hop: number): number =>
  (frameStart(grid, hop) + grid.windowLength / 2) / grid.sampleRateHz

/** Cuts the folds into segments of at most `maxHops`, in order of time. */
export const gridSegments = (grid: FrameGrid, maxHops: number): GridSegment[] => {
  const segments: GridSegment[] = []
  for (let fold = 0; fold < grid.folds; fold++) {
    const first = Math.floor((fold * grid.hops) / grid.folds)
    const end = Math.floor(((fold + 1) * grid.hops) / grid.folds)
    const pieces = Math.max(1, Math.ceil((end - first) / maxHops))
    for (let piece = 0; piece < pieces; piece++) {
      const firstHop = first + Math.floor(((end - first) * piece) / pieces)
      const endHop = first + Math.floor(((end - first) * (piece + 1)) / pieces)
      if (endHop > firstHop) segments.push({ fold, firstHop, endHop })
    }
  }
  return segments
}

/**
 * Correlation of two Hann frames whose distance is `shift` window lengths, for a white signal (Welch 1967, computed):
 * also the factor by which a lag of that size lowers the coherence. 1 at 0, 0 from 1 on.
 */
export const hannOverlap = (shift: number): number => {
  const x = Math.abs(shift)
  if (x >= 1) return 0
  return ((1 - x) * (2 + portable.cos(2 * Math.PI * x))) / 3 + portable.sin(2 * Math.PI * x) / (2 * Math.PI)
}

/** Independent segments per analysis frame in a long record (Welch 1967): 0.947 for half overlap, 0.691 for thirds. */
export const independentShare = (hopsPerWindow: number): number => {
  let sum = 1
  for (let j = 1; j < hopsPerWindow; j++) {
    const overlap = hannOverlap(j / hopsPerWindow)
    sum += 2 * overlap * overlap
  }
  return 1 / sum
}
