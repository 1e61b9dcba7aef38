import type { ReportStem } from '../report.js'
import { counted, decibels, orDash } from './figures.js'

/** The name of a source without its group. */
export const sourceOfKey = (key: string): string => key.slice(key.indexOf('/') + 1)

/** What was lost or touched at the edges of a stem, and what its metadata lack: "room: 14 frames cut at the start, peak −71.2 dBFS". Empty where nothing was. */
export const edgeWords = (stem: ReportStem): readonly string[] => [
  ...stem.cuts.map(cut => {
    const peak = orDash(cut.peakDbfs, db => `peak ${decibels(db).replace(' dB', ' dBFS')}`)
    const loud = cut.peakDbfs === null ? 'silence' : peak
    return `${sourceOfKey(cut.source)}: ${counted(cut.frames, 'frame')} cut at the start, ${loud}`
  }),
  ...stem.fades.map(
    fade =>
      `${sourceOfKey(fade.source)}: faded ${fade.edge === 'start' ? 'in at its start' : 'out at its end'} over 5 ms`,
  ),
  ...(stem.droppedChunks.length === 0
    ? []
    : [`metadata of the recording that would not be true of it left out: ${stem.droppedChunks.join(', ')}`]),
]
