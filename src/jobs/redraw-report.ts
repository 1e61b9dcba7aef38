import { join } from 'node:path'
import { exchangePapers } from '../render/exchange-papers.js'
import { holdFolder } from '../render/folder-hold.js'
import { keptSounds } from '../report/listen/kept-sounds.js'
import { readReport } from '../report/read-report.js'
import type { Report } from '../report/report.js'
import { drawReport, placesOf, type WrittenReport } from '../report/write-report.js'

export interface Redrawn {
  readonly report: Report
  readonly written: WrittenReport
  /** What became of the passages to listen to: kept, left out as wished, or no longer there to be kept. */
  readonly sound: 'kept' | 'left out' | 'missing'
}

/**
 * Draws the page and the hand-off sheet of a delivery again from its report.json alone; the sound, which no report holds, comes out of the page
 * that is there. report.json and the stems are not touched.
 * @throws SumwellError REPORT_UNREADABLE, WRITE_…
 */
export const redrawReport = (folder: string, { audio }: { readonly audio: boolean }): Redrawn => {
  const report = readReport(join(folder, 'report.json'))
  const hold = holdFolder(folder)
  try {
    const sounds = audio ? keptSounds(join(folder, 'report.html'), report) : null
    drawReport(hold.workshop, report, sounds ?? new Map())
    exchangePapers(hold, ['report.html', 'handoff.md'])
    return {
      report,
      written: placesOf(folder),
      sound: sounds !== null ? 'kept' : audio ? 'missing' : 'left out',
    }
  } finally {
    hold.release()
  }
}
