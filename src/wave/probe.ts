import type { WaveFacts } from '../recipe/session.js'
import type { Warning } from '../terms/warning.js'
import { openWave } from './wave-file.js'

/**
 * What the header of a recording says, without its audio: opens, looks, closes.
 * @throws SumwellError as `openWave`
 */
export const probeWave = (path: string): { facts: WaveFacts; warnings: readonly Warning[] } => {
  const file = openWave(path)
  file.close()
  return { facts: file.facts, warnings: file.warnings }
}
