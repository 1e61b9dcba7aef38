import * as portable from '../../terms/portable.js'
import { closeUpChart, type Fronts } from '../charts/close-up-chart.js'
import { px } from '../charts/scales.js'
import type { CloseUp, CloseUpView } from '../close-up/close-up.js'
import type { ReportGroup } from '../report.js'
import type { Waveform } from '../waveform/waveform.js'
import { clock, fixed, signed } from '../words/figures.js'
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
    caption: html`<span data-tell="when">One attack at ${clock(closeUp.attackSeconds, 1)}.</span> Upright line: <span data-tell="line">where it begins</span> in ${named(group.reference)}; triangles: the measured wavefronts. Swings above zero are filled. One scale for all: half a lane is <span data-tell="scale">${scaleWords(closeUp)}</span> of ${named(group.reference)}, each other source drawn at its level.`,
    table: html`${() =>
      table(
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
      )}`,
  })}${moments(group, closeUp, index)}`
}

/** Full scale of the drawing, as a level. */
export const scaleWords = ({ scale }: CloseUpView): string =>
  scale > 0 ? `${signed(20 * portable.log10(scale), 1)} dBFS` : 'silence'

/** The song from end to end, and the passage in it that the page holds without loss. */
const strip = (waveform: Waveform, group: ReportGroup): Markup => {
  const { overview, seconds } = waveform
  const { listen } = group
  const width = overview.length
  const middle = STRIP_HEIGHT / 2
  const half = (height: number): number => Math.max(0.5, ((height / 1000) * STRIP_HEIGHT) / 2)
  const over = overview.map((height, part) => `${part},${px(middle - half(height))}`)
  const under = overview.map((height, part) => `${part},${px(middle + half(height))}`).reverse()
  const from = listen === null ? 0 : (listen.startSeconds / seconds) * width
  const long = listen === null ? 0 : (listen.frames / group.sampleRateHz / seconds) * width
  return html`<svg class="strip" data-tell="strip" viewBox="0 0 ${width} ${STRIP_HEIGHT}" preserveAspectRatio="none" aria-hidden="true"><path class="song" d="M${over.join('L')}L${under.join('L')}Z"/><rect class="held" x="${px(from)}" y="${STRIP_HEIGHT - HELD_HEIGHT}" width="${px(long)}" height="${HELD_HEIGHT}"/><path class="here" d="M0 0V${STRIP_HEIGHT}"/></svg>`
}

/** In units of its own: it is drawn as wide and as high as the style sheet says. */
const STRIP_HEIGHT = 40
const HELD_HEIGHT = 4

/** The way to other moments of the song: the page's script shows it and fills it with life. */
const moments = (group: ReportGroup, closeUp: CloseUp, index: number): Markup => {
  const { waveform, listen } = group
  const last = waveform?.seconds ?? closeUp.elsewhere.at(-1)?.attackSeconds ?? closeUp.attackSeconds
  return html`<div class="moment" data-group="${index}" hidden>${
    waveform !== null &&
    html`<div class="end-to-end">${strip(waveform, group)}
<p class="aside">${named(group.reference)} from end to end: pull the line, or the drawing above, to any moment.${listen !== null && ' The bar below it: the passage that the page holds without loss.'}</p></div>`
  }
<div class="row"><button type="button" data-do="earlier">attack before</button> <button type="button" data-do="later">attack after</button>
<label>moment <input type="range" class="long" data-set="moment" min="0" max="${fixed(last, 3)}" step="0.001" value="${fixed(closeUp.attackSeconds, 3)}"></label> <output data-tell="moment"></output></div></div>`
}
