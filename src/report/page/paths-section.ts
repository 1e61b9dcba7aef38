import { levelsChart } from '../charts/levels-chart.js'
import type { Desk } from '../desk/desk.js'
import { openedSpectra } from '../desk/opened-spectra.js'
import { sourceLevels } from '../desk/source-levels.js'
import type { ReportGroup } from '../report.js'
import { fixed, hertz } from '../words/figures.js'
import { figure } from './figure.js'
import { lagMapFigures } from './lag-map-figure.js'
import { html, type Markup } from './markup.js'
import { table } from './table.js'

/** Of the table behind the spectra every so many points a row: two to the octave. */
const ROWS_EVERY = 6

const levelsFigure = (group: ReportGroup, levels: ReturnType<typeof sourceLevels>, index: number): Markup => {
  const { frequenciesHz, sources } = levels
  const label = `Spectra of the sources of ${group.name}`
  return figure({
    id: `levels-${index}`,
    place: 'column',
    draw: (width, id) =>
      levelsChart(
        frequenciesHz,
        sources,
        {
          id,
          title: label,
          description: `Where each source has its sound, over the whole take: ${sources
            .map(
              ({ source, levelDb }) =>
                `${source} is loudest at ${hertz(frequenciesHz[levelDb.indexOf(0)] ?? 0)}`,
            )
            .join(', ')}.`,
        },
        width,
      ),
    caption:
      'Where each source has its sound, over the whole take; each lane reaches from its own loudest point to 60 dB below.',
    table: table(
      label,
      [
        { head: 'Hz', numeric: true },
        ...sources.map(({ source }) => ({ head: `${source}, dB`, numeric: true })),
      ],
      frequenciesHz.flatMap((hz, i) =>
        i % ROWS_EVERY === 0
          ? [[fixed(hz, 0), ...sources.map(({ levelDb }) => fixed(levelDb[i] ?? 0, 0))]]
          : [],
      ),
      'dense',
    ),
  })
}

/** What else the spectra of a group tell: each source's own, and what any other lag would have done. */
export const pathsSection = (group: ReportGroup, desk: Desk, index: number): Markup => {
  const spectra = openedSpectra(desk.spectra)
  const maps = lagMapFigures(group, spectra, desk.blends, index)
  const levels = sourceLevels(spectra, desk.blends, group.sampleRateHz)
  return html`<div class="blends paths">${maps}${levelsFigure(group, levels, index)}</div>`
}
