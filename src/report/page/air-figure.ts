import { type AirRow, airChart } from '../charts/air-chart.js'
import type { Report, ReportGroup } from '../report.js'
import { fixed, milliseconds, orDash } from '../words/figures.js'
import { foundWords } from '../words/source-words.js'
import { figure } from './figure.js'
import { html, type Markup, named } from './markup.js'
import { table } from './table.js'

/** Where each source of a group stood and where it was put, ms after the reference as recorded. */
export const airRows = (group: ReportGroup): readonly AirRow[] =>
  group.sources.map(({ name, measured, move }): AirRow => {
    const toMs = 1000 / group.sampleRateHz
    const inverted = measured.polarity === 'inverted'
    return {
      name,
      recordedMs: measured.lagMs,
      uncertaintyMs:
        measured.shownUncertaintySamples === null ? null : measured.shownUncertaintySamples * toMs,
      deliveredMs: measured.lagMs === null || move === null ? null : measured.lagMs + move.shiftMs,
      recordedInverted: inverted,
      deliveredInverted: inverted !== (move?.polarity === 'inverted'),
    }
  })

/** The ruler of time and air of one group. `index`: the group's place in the song, for ids. */
export const airFigure = (report: Report, group: ReportGroup, index: number): Markup => {
  const rows = airRows(group)
  const said = group.sources
    .filter(source => !source.isReference)
    .map(source => `${source.name}: ${foundWords(source).join(', ') || 'in time'}`)
  return figure({
    id: `air-${index}`,
    place: 'margin',
    draw: (width, id) =>
      airChart(
        rows,
        report.speedOfSoundMetresPerSecond / 1000,
        {
          id,
          title: `Time and air of ${group.name}`,
          description: `How late each source reached the recorder after ${group.reference}, and where it was put. ${said.join('; ')}.`,
        },
        width,
      ),
    // Once is enough: the rulers stand under one another.
    caption:
      index === 0 &&
      html`<span class="key"><i class="ring before"></i> as recorded</span> <span class="key"><i class="ring after"></i> as delivered</span> <span class="key">+ − polarity</span> <span class="key">at ${fixed(report.temperatureCelsius, 0)}\u00A0°C</span>`,
    table: table(
      `Time and air of ${group.name}`,
      [
        { head: 'source' },
        { head: 'recorded, ms late', numeric: true },
        { head: 'delivered, ms late', numeric: true },
      ],
      rows.map(row => [
        named(row.name),
        orDash(row.recordedMs, ms => fixed(ms, 3)),
        orDash(row.deliveredMs, milliseconds),
      ]),
    ),
  })
}
