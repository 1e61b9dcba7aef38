import { basename } from 'node:path'
import type { Plan } from '../decide/plan.js'
import type { SongMeasurement } from '../measure/measurement.js'
import type { Session } from '../recipe/session.js'
import type { RenderedStem } from '../render/rendered.js'
import { speedOfSound } from '../terms/units.js'
import type { Warning } from '../terms/warning.js'
import type { Neighbours } from '../tone/neighbours/neighbours.js'
import type { BlendTone } from '../tone/tone.js'
import { groupOf } from './build/group.js'
import { deliveryOf, filesOf, stemOf } from './build/stem.js'
import { tidyNumbers } from './build/tidy-numbers.js'
import { warningsOf } from './build/warnings.js'
import type { CloseUp } from './close-up/close-up.js'
import type { Comparison } from './compared/comparison.js'
import type { Desk } from './desk/desk.js'
import type { Listen } from './listen/listen.js'
import type { Report, ResidualLag } from './report.js'
import type { Waveform } from './waveform/waveform.js'

export interface ReportInput {
  readonly session: Session
  readonly measurement: SongMeasurement
  readonly plan: Plan
  /** null before anything is written (a dry run). */
  readonly rendered: readonly RenderedStem[] | null
  readonly tone: readonly BlendTone[]
  /** By group; groups without one have no sound to show. */
  readonly closeUps: ReadonlyMap<string, CloseUp>
  /** By group; none where the page is to hold no sound. */
  readonly waveforms: ReadonlyMap<string, Waveform>
  /** By group; none where the page is to hold no sound. */
  readonly listens: ReadonlyMap<string, Listen>
  /** With the take before; null where there is none. */
  readonly compared: Comparison | null
  /** By group; groups in which nothing is lined up have none. */
  readonly desks: ReadonlyMap<string, Desk>
  /** null where there are no two groups to compare, or nothing was written. */
  readonly neighbours: Neighbours | null
  readonly tool: { readonly version: string }
  /** ISO 8601 time of this run; null leaves it out, for reports that must come out the same. */
  readonly made: { readonly at: string | null }
  /** Of the recipe's text; null where it is not known. */
  readonly recipeSha256: string | null
  /** Checksum of a recording, for the pieces that a source is laid from. */
  readonly sha256Of?: (file: string) => string | null
  /** Where the stems were measured again. */
  readonly residualLags?: readonly ResidualLag[]
  /** Warnings that arose after the plan: while writing, or in the comparison of tone. */
  readonly moreWarnings?: readonly Warning[]
}

/**
 * The whole report from what the rooms found, decided and wrote. Pure: the same input gives the same report, and but for `made` the same on
 * every machine. Throws INTERNAL where the measurement misses a source of the session.
 */
export const buildReport = (input: ReportInput): Report => {
  const { session, measurement, plan, rendered, tone } = input
  const stems = plan.stems.map(stem => stemOf(stem, rendered?.find(r => r.file === stem.file) ?? null))
  return tidyNumbers<Report>({
    format: 1,
    tool: { name: 'sumwell', version: input.tool.version },
    made: { at: input.made.at },
    song: session.song,
    take: session.take,
    recipe: { file: basename(session.recipeFile), sha256: input.recipeSha256 },
    tempoBpm: session.tempoBpm,
    temperatureCelsius: session.temperatureCelsius,
    speedOfSoundMetresPerSecond: speedOfSound(session.temperatureCelsius),
    compared: input.compared,
    delivery: deliveryOf(plan),
    groups: session.groups.map(group =>
      groupOf({
        group,
        measurement: measurement.groups.find(g => g.name === group.name),
        plan,
        tones: tone,
        closeUp: input.closeUps.get(group.name) ?? null,
        waveform: input.waveforms.get(group.name) ?? null,
        listen: input.listens.get(group.name) ?? null,
        desk: input.desks.get(group.name) ?? null,
      }),
    ),
    neighbours: input.neighbours,
    residualLags: input.residualLags ?? null,
    stems,
    files: filesOf(plan, stems, session, input.sha256Of ?? (() => null)),
    warnings: warningsOf(measurement.warnings, plan.warnings, input.moreWarnings ?? []),
  })
}
