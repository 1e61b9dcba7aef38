import { join } from 'node:path'
import type { RenderedSong } from '../jobs/song/render-song.js'
import { CHECKSUM_LIST } from '../render/checksum-list.js'

/**
 * What `render --json` says of one song (schemas/render.schema.json): where everything is, and what a script asks of it. The whole
 * story is in report.json, whose path stands here.
 */
export const renderedSongFields = ({
  session,
  plan,
  rendered,
  written,
  report,
  formerStems,
  archive,
}: RenderedSong & { readonly archive: string | null }) => ({
  recipe: session.recipeShown,
  song: session.song,
  take: session.take,
  folder: plan.folder,
  reportJson: written.json,
  reportPage: written.page,
  handoffSheet: written.handoff,
  checksums: join(plan.folder, CHECKSUM_LIST),
  archive,
  formerStems,
  turnDownDb: plan.turnDownDb,
  stems: plan.stems.map((stem, i) => {
    const made = rendered[i]!
    return {
      name: stem.name,
      kind: stem.kind,
      group: stem.group,
      file: stem.file,
      sampleRateHz: stem.sampleRateHz,
      channels: stem.channels,
      depth: stem.depth,
      frames: stem.frames,
      stampSamples: stem.stampSamples,
      bytes: made.bytes,
      sha256: made.sha256,
      loudnessLufs: made.loudnessLufs,
      samplePeakDbfs: made.samplePeakDbfs,
      truePeakDbtp: made.truePeakDbtp,
    }
  }),
  sources: report.groups.flatMap(group =>
    group.sources.map(({ name, measured, move }) => ({
      group: group.name,
      source: name,
      lagSamples: measured.lagSamples,
      polarity: measured.polarity,
      verdict: measured.verdict,
      shiftSamples: move?.shiftSamples ?? null,
    })),
  ),
})

export type RenderedSongFields = ReturnType<typeof renderedSongFields>
