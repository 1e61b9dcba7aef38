import type { Verdict } from '../../measure/measurement.js'
import type { ReportGroup } from '../report.js'

/** "sure of all 3 sources", "unsure of room". */
export const sureWords = (group: ReportGroup): string => {
  const of = (verdict: Verdict): string =>
    group.sources
      .filter(source => source.measured.verdict === verdict)
      .map(source => source.name)
      .join(', ')
  const unsure = of('unsure')
  const unknown = of('unknown')
  if (unsure === '' && unknown === '') {
    return group.sources.length === 2 ? 'sure of both sources' : `sure of all ${group.sources.length} sources`
  }
  return [unsure && `unsure of ${unsure}`, unknown && `${unknown} unknown`].filter(Boolean).join('; ')
}
