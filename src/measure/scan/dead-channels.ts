import * as portable from '../../terms/portable.js'

/** Far enough under the loudest channel that it is no matter of gain or place. Common practice, no source. */
const UNDER_LOUDEST_DB = 40

/**
 * Channels of a linked set that hold next to nothing while another plays, from 0: 40 dB and more under the loudest (rms). Empty
 * for a single channel and where all are silent. `rms`: of each channel, full scale 1.
 */
export const deadChannels = (rms: readonly number[]): number[] => {
  const loudest = Math.max(...rms)
  const limit = loudest * portable.exp(-UNDER_LOUDEST_DB * (Math.LN10 / 20))
  return loudest > 0 ? rms.flatMap((own, channel) => (own < limit ? [channel] : [])) : []
}
