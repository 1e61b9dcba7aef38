import { relative } from 'node:path'
import { type Redrawn, redrawReport } from '../../jobs/redraw-report.js'
import { summaryText } from '../../report/terminal/summary-text.js'
import type { Fault } from '../../terms/fault.js'
import { optionsOf } from '../options.js'
import { runCommand } from '../run.js'

/** Options of `report` as the command line leaves them. */
export interface ReportOptions {
  readonly audio: boolean
  readonly quiet?: true
  readonly color: boolean
}

export const report = (folders: readonly string[], given: ReportOptions): Promise<void> => {
  const { color, audio, quiet } = given
  const options = optionsOf({ color, audio, ...(quiet === undefined ? {} : { quiet }) })
  return runCommand(options, run => {
    const done: Redrawn[] = []
    const faults: Fault[] = []
    for (const folder of folders) {
      try {
        done.push(redrawReport(folder, { audio }))
      } catch (error) {
        faults.push(...run.faultsOf(error, `drawing the report of ${folder}`))
      }
    }
    return Promise.resolve({
      songs: [],
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

const SILENT =
  'The sound of the former page was not there or not of this report: the page is silent. Render again.'
