import type { Warning } from '../terms/warning.js'
import { waveWarning } from './wave-faults.js'
import type { Ixml, WaveMetadata } from './wave-metadata.js'

/** The stamp of iXML in frames of the file; rounded where it counts at another rate. */
const ixmlStamp = (ixml: Ixml | null, sampleRateHz: number): bigint | null => {
  if (ixml === null || ixml.stamp === null) return null
  const { stamp, stampRateHz } = ixml
  if (stampRateHz === null || stampRateHz === sampleRateHz) return stamp
  // Rates may be fractional (47952.048): thousandths keep the arithmetic whole.
  const from = BigInt(Math.round(stampRateHz * 1000))
  const to = BigInt(sampleRateHz * 1000)
  return from === 0n ? null : (stamp * to + from / 2n) / from
}

/**
 * Start of the file since midnight in frames of the file, from `bext` or iXML.
 *
 * `bext` wins where it is not 0. A 0 in it is doubtful, for many recorders without time code write one. It counts as midnight
 * where iXML states the same 0, or where `bext` names its originator or date (a session that starts at 0) and iXML does not tell of
 * speed and rates without a time stamp; otherwise there is no stamp. The two are expected to agree; more than one frame apart is told.
 */
export const stampOf = (
  path: string,
  metadata: WaveMetadata,
  sampleRateHz: number,
): { stampSamples: number | null; warnings: readonly Warning[] } => {
  const { broadcast, ixml } = metadata
  const byIxml = ixmlStamp(ixml, sampleRateHz)
  const byBext = broadcast?.timeReference ?? null
  const zeroIsMeant =
    byBext !== null &&
    ixml?.tellsSpeed !== true &&
    (broadcast?.originator !== '' || broadcast.originationDate !== '')
  const stamp = byBext !== null && (byBext !== 0n || (byIxml === null && zeroIsMeant)) ? byBext : byIxml
  const warnings: Warning[] = []
  if (byBext !== null && byBext !== 0n && byIxml !== null) {
    const apart = byBext > byIxml ? byBext - byIxml : byIxml - byBext
    if (apart > 1n) {
      const message = `the time stamps differ: ${byBext} frames in bext, ${byIxml} in iXML; bext is used`
      warnings.push(waveWarning('WAVE_METADATA', path, message))
    }
  }
  if (stamp !== null && stamp > BigInt(Number.MAX_SAFE_INTEGER)) {
    warnings.push(
      waveWarning('WAVE_METADATA', path, `the time stamp ${stamp} cannot be a time of day; it is left out`),
    )
    return { stampSamples: null, warnings }
  }
  return { stampSamples: stamp === null ? null : Number(stamp), warnings }
}
