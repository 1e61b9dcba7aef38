import { waveFault } from './wave-faults.js'
import type { WaveFile } from './wave-file.js'

/**
 * Ask this when a file was read to its end and before anything is made of it: what was read may be half of the old and half of the new.
 * @throws SumwellError WAVE_CHANGED where the file was written to, replaced or removed since it was opened
 */
export const refuseChanged = (file: Pick<WaveFile, 'path' | 'changed'>): void => {
  if (!file.changed()) return
  throw waveFault('WAVE_CHANGED', file.path, 'the file was changed while it was read', {
    mend: 'wait until the recording or copying has ended, then run again',
  })
}
