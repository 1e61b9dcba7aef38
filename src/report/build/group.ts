import type { Plan } from '../../decide/plan.js'
import type { GroupMeasurement, SourceMeasurement } from '../../measure/measurement.js'
import { worstOf } from '../../measure/verdict/worst-of.js'
import type { SessionGroup } from '../../recipe/session.js'
import { fault, SumwellError } from '../../terms/fault.js'
import type { BlendTone } from '../../tone/tone.js'
import type { CloseUp } from '../close-up/close-up.js'
import type { Desk } from '../desk/desk.js'
import type { Listen } from '../listen/listen.js'
import type { ReportBlend, ReportGroup } from '../report.js'
import type { Waveform } from '../waveform/waveform.js'
import { sourceOf } from './source.js'
import { thinTone } from './thin-tone.js'

const measurementOf = (group: GroupMeasurement | undefined, source: string): SourceMeasurement => {
  const found = group?.sources.find(s => s.name === source)
  if (found === undefined) {
    throw new SumwellError(fault('INTERNAL', `the measurement holds no source "${source}"`))
  }
  return found
}

const blendsOf = (group: SessionGroup, plan: Plan, tones: readonly BlendTone[]): readonly ReportBlend[] =>
  group.blends.map(blend => {
    const stem = plan.stems.find(s => s.kind === 'blend' && s.group === group.name && s.name === blend.name)
    const tone = tones.find(t => t.group === group.name && t.blend === blend.name)
    return {
      name: blend.name,
      aligned: blend.aligned,
      match: blend.match,
      parts: blend.parts.map(part => {
        const planned = stem?.parts.find(p => p.key === `${group.name}/${part.source}`)
        return {
          source: part.source,
          weightShown:
            planned?.weightShown ?? (part.kind === 'share' ? `${part.share}` : `${part.gainDb} dB`),
          matchGainDb: planned?.matchGainDb ?? 0,
        }
      }),
      stem: stem?.fileName ?? null,
      tone: tone === undefined ? null : thinTone(tone),
    }
  })

/** One group of the song with all that was found out and decided about it. */
export const groupOf = (input: {
  readonly group: SessionGroup
  readonly measurement: GroupMeasurement | undefined
  readonly plan: Plan
  readonly tones: readonly BlendTone[]
  readonly closeUp: CloseUp | null
  readonly waveform: Waveform | null
  readonly listen: Listen | null
  readonly desk: Desk | null
}): ReportGroup => {
  const { group, measurement, plan, tones, closeUp, waveform, listen, desk } = input
  const sources = group.sources.map(source =>
    sourceOf({
      source,
      measurement: measurementOf(measurement, source.name),
      planned: plan.sources.find(p => p.key === `${group.name}/${source.name}`) ?? null,
      isReference: source.name === group.reference,
      sampleRateHz: group.sampleRateHz,
    }),
  )
  const { aim, hold, resolution, follow, searchSeconds, passage } = group.align
  return {
    name: group.name,
    reference: group.reference,
    sampleRateHz: group.sampleRateHz,
    align: {
      aim,
      hold,
      resolution,
      follow,
      searchSeconds,
      passage: passage?.map(p => ({ startSeconds: p.startSeconds, endSeconds: p.endSeconds })) ?? null,
    },
    lateSamples: plan.groups.find(g => g.name === group.name)?.lateSamples ?? 0,
    closureSamples: measurement?.closureSamples ?? null,
    verdict: worstOf(sources.map(({ measured }) => measured.verdict)),
    sources,
    closeUp,
    waveform,
    listen,
    desk,
    blends: blendsOf(group, plan, tones),
  }
}
