import { relative } from 'node:path'
import { type Redrawn, redrawReport } from '../../jobs/redraw-report.js'
import { summaryText } from '../../report/terminal/summary-text.js'
import type { Fault } from '../../terms/fault.js'
import { optionsOf } from '../options.js'
import { sourceFields } from '../rendered-song.js'
import { runCommand } from '../run.js'

/** Options of `report` as the command line leaves them. */
export interface ReportOptions {
  readonly audio: boolean
  readonly json?: true
  readonly quiet?: true
  readonly color: boolean
}

export const report = (folders: readonly string[], given: ReportOptions): Promise<void> => {
  const { color, audio, quiet, json } = given
  const options = optionsOf({ color, audio, ...(quiet && { quiet }), ...(json && { json }) })
  return runCommand(options, run => {
    const done: (Redrawn & { readonly folder: string })[] = []
    const faults: Fault[] = []
    for (const folder of folders) {
      try {
        done.push({ ...redrawReport(folder, { audio }), folder })
      } catch (error) {
        faults.push(...run.faultsOf(error, `drawing the report of ${folder}`))
      }
    }
    return Promise.resolve({
      songs: [],
      fields: { folders: done.map(redrawnFields) },
      text: ({ width, colour }) =>
        done
          .map(
            ({ report, written, sound }) =>
              summaryText(report, { columns: width, colour, reportShown: relative('.', written.page) }) +
              (sound === 'missing' ? `${SILENT}\n` : ''),
          )
          .join('\n'),
      warnings: [],
      warningsInText: true,
      faults,
    })
  })
}

/** What `--json` says of one delivery (schemas/redraw.schema.json). */
const redrawnFields = ({ folder, report, written, sound }: Redrawn & { readonly folder: string }) => ({
  folder,
  song: report.song,
  take: report.take,
  reportJson: written.json,
  reportPage: written.page,
  handoffSheet: written.handoff,
  sound,
  sources: sourceFields(report),
})

const SILENT =
  'The sound of the former page was not there or not of this report: the page is silent. Render again.'
