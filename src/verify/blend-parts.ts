import type { Report, ReportStem } from '../report/report.js'
import * as portable from '../terms/portable.js'
import type { NullInput } from './null-test.js'

/** Rounding with dither leaves at most one step and a half; the most negative value, turned over, comes out one step short. */
const STEPS = 2.5

/** How a blend is to be made from the single stems beside it, or why it cannot be. */
export const nullInputOf = (
  report: Report,
  blend: ReportStem,
  fileOf: (stem: ReportStem) => string,
): NullInput | string => {
  if (!blend.aligned) return 'it is as recorded; the single stems are lined up'
  const parts: NullInput['parts'][number][] = []
  for (const { source, gain, atSamples } of blend.parts) {
    const single = report.stems.find(
      ({ kind, parts: own, aligned }) =>
        kind === 'source' && aligned && own.length === 1 && own[0]!.source === source,
    )
    if (single === undefined) return `${source} was not delivered by itself`
    const [own] = single.parts
    if (own === undefined || own.gain === 0 || Math.abs(own.atSamples - atSamples) > 1e-9) {
      return `${source} stands in another place by itself`
    }
    parts.push({ file: fileOf(single), gain: gain / own.gain, error: errorOf(single) })
  }
  return parts.length === 0
    ? 'it has no parts'
    : { blend: { file: fileOf(blend), error: errorOf(blend) }, parts }
}

// Half a unit in the last place of single precision, at the stem's own peak.
const errorOf = ({ depth, samplePeakDbfs }: ReportStem): number =>
  depth === '32f'
    ? portable.exp((samplePeakDbfs ?? 0) * (Math.LN10 / 20)) * 2 ** -23
    : STEPS * portable.exp((1 - depth) * Math.LN2)
