import { closeUpChart, type Fronts } from '../charts/close-up-chart.js'
import type { CloseUp, CloseUpView } from '../close-up/close-up.js'
import type { ReportGroup } from '../report.js'
import { clock, fixed } from '../words/figures.js'
import { figure } from './figure.js'
import { html, type Markup, named } from './markup.js'
import { table } from './table.js'

/** Rows of the table behind the chart: one each half millisecond. */
const ROW_MS = 0.5

/** Where each lane's wavefront is expected, from the measured lags. */
export const frontsOf = (group: ReportGroup, closeUp: CloseUpView): readonly Fronts[] => {
  const reference = group.sources.find(source => source.isReference)?.move?.shiftMs ?? 0
  return closeUp.traces.map(trace => {
    const lag = group.sources.find(source => source.name === trace.source)?.measured.lagMs ?? null
    return { beforeMs: lag, afterMs: lag === null ? null : lag + trace.shiftMs - reference }
  })
}

const rowsOf = (closeUp: CloseUp): readonly (readonly string[])[] => {
  const points = closeUp.traces[0]?.before.length ?? 0
  const every = Math.max(1, Math.round(ROW_MS / closeUp.stepMs))
  const percent = (value: number | undefined): string =>
    fixed(closeUp.scale > 0 ? ((value ?? 0) / closeUp.scale) * 100 : 0, 0)
  const rows: string[][] = []
  for (let i = 0; i < points; i += every) {
    rows.push([
      fixed(closeUp.fromMs + i * closeUp.stepMs, 1),
      ...closeUp.traces.flatMap(trace => [percent(trace.before[i]), percent(trace.after[i])]),
    ])
  }
  return rows
}

/** One attack through all sources of a group, as recorded and as delivered. */
export const closeUpFigure = (group: ReportGroup, closeUp: CloseUp, index: number): Markup => {
  const label = `Close-up of ${group.name} at ${clock(closeUp.attackSeconds, 1)}`
  return html`${figure({
    id: `close-up-${index}`,
    place: 'full',
    draw: (width, id) =>
      closeUpChart(
        closeUp,
        frontsOf(group, closeUp),
        {
          id,
          title: label,
          description: `One attack through ${closeUp.traces.map(t => t.source).join(', ')}: as recorded, and as delivered. The table below holds the values.`,
        },
        width,
      ),
    caption: html`<span data-tell="when">One attack at ${clock(closeUp.attackSeconds, 1)}.</span> Upright line: where it begins in ${named(group.reference)}; triangles: the measured wavefronts. Swings above zero are filled. One scale for all, each source drawn at the level of the reference.`,
    table: table(
      label,
      [
        { head: 'ms', numeric: true },
        ...closeUp.traces.flatMap(trace => [
          { head: html`${named(trace.source)} recorded, %`, numeric: true },
          { head: html`${named(trace.source)} delivered, %`, numeric: true },
        ]),
      ],
      rowsOf(closeUp),
      'dense',
    ),
  })}${moments(closeUp, index)}`
}

/** The way to other moments of the song: the page's script shows it and fills it with life. */
const moments = (closeUp: CloseUp, index: number): Markup => {
  const last = closeUp.elsewhere.at(-1)?.attackSeconds ?? closeUp.attackSeconds
  return html`<div class="moment row" data-group="${index}" hidden><button type="button" data-do="earlier">attack before</button> <button type="button" data-do="later">attack after</button>
<label>moment <input type="range" class="long" data-set="moment" min="0" max="${fixed(last, 3)}" step="0.001" value="${fixed(closeUp.attackSeconds, 3)}"></label> <output data-tell="moment"></output></div>`
}
