import type { ReportStem } from '../report/report.js'
import type { StemLook } from './look-at-stem.js'
import type { Difference } from './verified.js'

/** What of a stem is not as the report and the list of checksums say. */
export const stemDifferences = (
  { file, sampleRateHz, channels, frames, depth, stampSamples, sha256 }: ReportStem,
  { facts, sha256: found, doubts }: StemLook,
  listed: string | undefined,
): readonly Difference[] => {
  const told: [string, string | number | null, string | number | null][] = [
    ['frames', facts.frames, frames],
    ['Hz', facts.sampleRateHz, sampleRateHz],
    ['channels', facts.channels, channels],
    ['bit', depthOf(facts), depth],
    ['frames as time stamp', facts.stampSamples, stampSamples],
  ]
  const messages = told
    .filter(([, is, due]) => is !== due)
    .map(([what, is, due]) => `it has ${shown(is)} ${what}, not ${shown(due)}`)
  if (listed === undefined) messages.push('it is not in the list of checksums')
  else if (listed !== found) messages.push('its bytes are not those of the list of checksums')
  if (sha256 !== null && sha256 !== found) messages.push('its bytes are not those of report.json')
  return [...messages, ...doubts].map(message => ({ file, message }))
}

const shown = (value: string | number | null): string => (value === null ? 'no' : String(value))

const depthOf = ({ bitDepth, sampleFormat }: StemLook['facts']): string | number =>
  sampleFormat === 'float' ? `${bitDepth}f` : bitDepth
