import type { ReportBlend } from '../report.js'

/** "piezo 55 %, bridge 45 %" as the recipe weighs them. */
export const partsWords = (blend: ReportBlend): string =>
  blend.parts.map(part => `${part.source} ${part.weightShown}`).join(' · ')

/** What changed in the tone, in words; what a blend as recorded is there for. */
export const toneWords = (blend: ReportBlend): string => {
  if (!blend.aligned) return 'as recorded, for comparison'
  return blend.tone?.words ?? 'tone not measured'
}
