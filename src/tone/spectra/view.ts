import type { ChannelSelection } from '../../recipe/session.js'
import type { Placement } from './placement.js'

/** One recording and where it lies while its spectra are taken. */
export interface ViewSource {
  readonly file: string
  readonly selection: ChannelSelection
  readonly channels: number
  readonly placement: Placement
}

/** One channel of one source: what spectra are taken of. */
export interface Signal {
  /** Index into the sources of the view. */
  readonly source: number
  readonly channel: number
  /**
   * What its power counts with where the notes are looked for: the sum of the squares of the gains that bring it to the level of the reference,
   * over the blends. Which notes are played does not depend on the shares of a blend.
   */
  readonly weight: number
}

/**
 * A blend as recorded, to be summed frame by frame: needed where the positions change during the take, so that no one phase turns
 * the averaged spectra back.
 */
export interface AsRecorded {
  readonly parts: readonly {
    readonly signal: number
    readonly gain: number
    readonly recordedAtSamples: number
  }[]
}

/** What one look at a group's recordings needs: sources at their places, and which of their channels are compared. */
export interface View {
  readonly sampleRateHz: number
  /** Length of the timeline, frames. Sound outside it is lost and does not count. */
  readonly frames: number
  readonly sources: readonly ViewSource[]
  readonly signals: readonly Signal[]
  readonly pairs: readonly (readonly [number, number])[]
  readonly asRecorded: readonly AsRecorded[]
}
