import { basename } from 'node:path'
import type { Plan, PlannedStem } from '../../decide/plan.js'
import type { Session } from '../../recipe/session.js'
import type { RenderedStem } from '../../render/rendered.js'
import type { ReportDelivery, ReportFile, ReportStem } from '../report.js'

/** One delivered file: as planned, and as it was seen while writing (`rendered`: null before). */
export const stemOf = (planned: PlannedStem, rendered: RenderedStem | null): ReportStem => ({
  name: planned.name,
  kind: planned.kind,
  group: planned.group,
  file: planned.fileName,
  sampleRateHz: planned.sampleRateHz,
  channels: planned.channels,
  depth: planned.depth,
  frames: planned.frames,
  seconds: planned.frames / planned.sampleRateHz,
  stampSamples: planned.stampSamples,
  aligned: planned.aligned,
  dither: planned.dither,
  parts: planned.parts.map(part => ({
    source: part.key,
    weightShown: part.weightShown,
    matchGainDb: part.matchGainDb,
    gain: part.gain,
    atSamples: part.atSamples,
    recordedGain: part.recordedGain,
    recordedAtSamples: part.recordedAtSamples,
  })),
  bytes: rendered?.bytes ?? null,
  sha256: rendered?.sha256 ?? null,
  samplePeakDbfs: rendered?.samplePeakDbfs ?? null,
  truePeakDbtp: rendered?.truePeakDbtp ?? null,
  loudnessLufs: rendered?.loudnessLufs ?? null,
  cuts: (rendered?.cuts ?? []).map(cut => ({
    source: cut.key,
    frames: cut.frames,
    peakDbfs: cut.peakDbfs,
  })),
  droppedChunks: rendered?.droppedChunks ?? [],
  fades: (rendered?.fades ?? []).map(fade => ({ source: fade.key, edge: fade.edge })),
})

/** What all stems have in common. */
export const deliveryOf = (plan: Plan): ReportDelivery => {
  const stamped = plan.stems.find(stem => stem.stampSamples !== null)
  return {
    turnDownDb: plan.turnDownDb,
    ceilingDbtp: plan.ceilingDbtp,
    stampSamples: stamped?.stampSamples ?? null,
    stampRateHz: stamped?.sampleRateHz ?? null,
  }
}

/** Every recording that was read, once, and every stem, each with its checksum. */
export const filesOf = (
  plan: Plan,
  stems: readonly ReportStem[],
  session: Session,
  sha256Of: (file: string) => string | null,
): readonly ReportFile[] => {
  const sources = new Map<string, ReportFile>()
  for (const source of plan.sources) {
    for (const { file, fileShown, sha256 } of recordingsOf(source, session, sha256Of)) {
      const usedAs = sources.get(file)?.usedAs ?? []
      sources.set(file, {
        role: 'source',
        file: fileShown,
        sha256,
        bytes: null,
        usedAs: usedAs.includes(source.key) ? usedAs : [...usedAs, source.key],
      })
    }
  }
  const written = stems.map(
    (stem): ReportFile => ({
      role: 'stem',
      file: basename(stem.file),
      sha256: stem.sha256,
      bytes: stem.bytes,
      usedAs: [stem.name],
    }),
  )
  return [...sources.values(), ...written]
}

/** The file of a source, or those of its pieces. */
const recordingsOf = (
  planned: Plan['sources'][number],
  session: Session,
  sha256Of: (file: string) => string | null,
): readonly { readonly file: string; readonly fileShown: string; readonly sha256: string | null }[] => {
  const source = session.groups
    .find(({ name }) => name === planned.group)
    ?.sources.find(({ name }) => name === planned.source)
  return source?.kind === 'file' && source.pieces !== undefined
    ? source.pieces.map(({ file, fileShown }) => ({ file, fileShown, sha256: sha256Of(file) }))
    : [planned]
}
