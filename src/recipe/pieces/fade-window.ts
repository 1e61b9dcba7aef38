/**
 * How two weights of a cross-fade belong together. `amplitude`: they sum to 1, right for one and the same sound on both sides. `power`:
 * their squares do, right for two performances, which are as good as unrelated.
 */
export type FadeLaw = 'amplitude' | 'power'

/** A stretch in which a sound is heard, fading in and out at its ends where a fade has a length; full weight between. Whole frames. */
export interface FadeWindow {
  /** The first frame, and the one after the last. */
  readonly startFrame: number
  readonly endFrame: number
  readonly fadeInFrames: number
  readonly fadeOutFrames: number
  readonly fadeIn: FadeLaw
  readonly fadeOut: FadeLaw
}
