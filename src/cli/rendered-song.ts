import { join } from 'node:path'
import type { RenderedSong } from '../jobs/song/render-song.js'
import { CHECKSUM_LIST } from '../render/checksum-list.js'
import type { Report } from '../report/report.js'
import { inkOf } from '../report/terminal/ink.js'
import { counted } from '../report/words/figures.js'
import { visibleText } from '../terms/visible-text.js'
import type { Page } from './tell.js'

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
  unchanged: false,
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
  sources: sourceFields(report),
})

/** What was found of each source and done to it, in short. */
export const sourceFields = ({ groups }: Report) =>
  groups.flatMap(group =>
    group.sources.map(({ name, measured, move }) => ({
      group: group.name,
      source: name,
      lagSamples: measured.lagSamples,
      polarity: measured.polarity,
      verdict: measured.verdict,
      shiftSamples: move?.shiftSamples ?? null,
    })),
  )

export type RenderedSongFields = ReturnType<typeof renderedSongFields>

/** What is told of a song in which nothing has changed since it was rendered. */
export const unchangedText = (
  { song, take, stems }: RenderedSongFields,
  warnings: number,
  reportShown: string,
  { colour }: Page,
): string => {
  const ink = inkOf(colour)
  const name = `${ink.strong(visibleText(song))}${take === null ? '' : ink.quiet(`, take ${visibleText(take)}`)}`
  const standing = warnings === 0 ? '' : `; ${counted(warnings, 'warning')} as before`
  return `${name}: nothing has changed, ${counted(stems.length, 'stem')} as before${standing}\n${visibleText(reportShown)}\n`
}
