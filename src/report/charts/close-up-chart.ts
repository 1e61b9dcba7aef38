import { area, line } from 'd3-shape'
import type { CloseUpTrace, CloseUpView } from '../close-up/close-up.js'
import { html, type Markup } from '../page/markup.js'
import { signed } from '../words/figures.js'
import { bottomAxis } from './axes.js'
import { type Box, linear, px, roundTicks, type Scale } from './scales.js'
import { type ChartText, svg } from './svg.js'

/** Height of a lane on a desk screen, and on smaller screens and paper. */
const LANE = 62
const SMALL_LANE = 46
const GAP = 12
const TOP = 34
const BOTTOM = 36
/** Room left of the first panel for the names of the lanes, px. */
const GUTTER = 92

/** Where a lane's wavefront is expected, ms after the reference's; null where that is not known. */
export interface Fronts {
  readonly beforeMs: number | null
  readonly afterMs: number | null
}

interface Panel {
  readonly box: Box
  readonly x: Scale
  readonly heading: string
  readonly side: 'before' | 'after'
  readonly lane: number
}

const middleOf = (row: number, laneHeight: number): number => TOP + row * (laneHeight + GAP) + laneHeight / 2

/** The swing above zero filled, the one below open: which way round a wave stands is seen without colour. */
const wave = (values: readonly number[], panel: Panel, closeUp: CloseUpView, middle: number): Markup => {
  const reach = closeUp.scale > 0 ? panel.lane / 2 / closeUp.scale : 0
  const at = (i: number): number => px(panel.x(closeUp.fromMs + i * closeUp.stepMs))
  const indices = values.map((_, i) => i)
  const up = area<number>()
    .x(at)
    .y0(middle)
    .y1(i => middle - Math.max(0, values[i] ?? 0) * reach)
    .digits(1)(indices)
  const trace = line<number>()
    .x(at)
    .y(i => middle - (values[i] ?? 0) * reach)
    .digits(1)(indices)
  return html`<path class="swing ${panel.side}" d="${up}"/><path class="wave ${panel.side}" d="${trace}"/>`
}

const front = (ms: number | null, panel: Panel, middle: number): Markup | null => {
  if (ms === null) return null
  const [from, to] = panel.x.domain()
  if (ms < from! || ms > to!) return null
  const x = px(panel.x(ms))
  const foot = middle + panel.lane / 2
  return html`<path class="front ${panel.side}" d="M${x} ${px(foot - 9)}l-4.5 9h9z"/>`
}

/** What was done to a source, in the corner of its lane. */
const doneTo = (trace: CloseUpTrace): string =>
  [
    Math.abs(trace.shiftMs) < 0.005 ? null : `${signed(trace.shiftMs, 2)} ms`,
    trace.polarity === 'inverted' ? 'inverted' : null,
  ]
    .filter(word => word !== null)
    .join(', ')

const drawLane = (
  trace: CloseUpTrace,
  row: number,
  panel: Panel,
  closeUp: CloseUpView,
  fronts: Fronts,
): Markup => {
  const middle = middleOf(row, panel.lane)
  const { box } = panel
  const right = box.width - box.right
  const ms = panel.side === 'before' ? fronts.beforeMs : fronts.afterMs
  return html`<line class="zero" x1="${box.left}" x2="${right}" y1="${middle}" y2="${middle}"/>${wave(trace[panel.side], panel, closeUp, middle)}${front(ms, panel, middle)}${
    panel.side === 'after' &&
    html`<text class="aside over" x="${right - 2}" y="${middle - panel.lane / 2 + 12}" text-anchor="end">${doneTo(trace)}</text>`
  }`
}

/** Names of the lanes and the gain with which each was drawn, in the gutter, or over the lanes where there is none. */
const names = (closeUp: CloseUpView, gutter: boolean, laneHeight: number): Markup =>
  html`${closeUp.traces.map((trace, row) => {
    const middle = middleOf(row, laneHeight)
    const gain = trace.drawnGainDb === 0 ? '' : `drawn ${signed(trace.drawnGainDb, 1)} dB`
    const y = gutter ? middle : middle - laneHeight / 2 + 1
    return html`<text class="lane over" x="0" y="${y}">${trace.source}${!gutter && gain !== '' && html`<tspan class="aside">, ${gain}</tspan>`}</text>${
      gutter && html`<text class="aside" x="0" y="${y + 15}">${gain}</text>`
    }`
  })}`

const panelOf = (
  closeUp: CloseUpView,
  side: Panel['side'],
  left: number,
  width: number,
  laneHeight: number,
): Panel => {
  const points = closeUp.traces[0]?.before.length ?? 0
  const toMs = closeUp.fromMs + (points - 1) * closeUp.stepMs
  const height = TOP + closeUp.traces.length * (laneHeight + GAP) + BOTTOM
  return {
    // Its own right edge is the width of its box: axes are drawn from `left` to `width - right`.
    box: { width: left + width, height, left, right: 0, top: TOP, bottom: BOTTOM },
    x: linear([closeUp.fromMs, toMs], [left, left + width]),
    heading: side === 'before' ? 'as recorded' : 'as delivered',
    side,
    lane: laneHeight,
  }
}

const drawPanel = (panel: Panel, closeUp: CloseUpView, fronts: readonly Fronts[], axis: string): Markup => {
  const { box, x } = panel
  const [from, to] = x.domain()
  const ticks = roundTicks(from! + 0.5, to!, box.width - box.left < 400 ? 5 : 7)
  const zero = px(x(0))
  return html`<text class="panel" x="${box.left}" y="14">${panel.heading}</text>${bottomAxis(box, x, ticks, axis)}<line class="instant" x1="${zero}" x2="${zero}" y1="${box.top - 8}" y2="${box.height - box.bottom}"/>${closeUp.traces.map(
    (trace, row) => () =>
      drawLane(trace, row, panel, closeUp, fronts[row] ?? { beforeMs: null, afterMs: null }),
  )}`
}

/**
 * Lanes of one attack, one a source, as recorded and as delivered: side by side where there is room, else one panel a call (`sides`).
 * All lanes share the time axis and the scale. A triangle under each wave marks its measured wavefront, the upright line that of the reference.
 */
export const closeUpChart = (
  closeUp: CloseUpView,
  fronts: readonly Fronts[],
  text: ChartText,
  width: number,
  axis = 'ms after the attack in the reference',
): Markup => {
  const gap = 30
  const beside = width >= 560
  const lane = width >= 900 ? LANE : SMALL_LANE
  const gutter = beside ? GUTTER : 0
  const each = beside ? (width - gutter - gap) / 2 : width
  const first = panelOf(closeUp, 'before', gutter, each, lane)
  const second = panelOf(closeUp, 'after', beside ? gutter + each + gap : 0, each, lane)
  const height = first.box.height
  const below = `translate(0 ${height + 14})`
  return svg(text, width, beside ? height : 2 * height + 14, [
    drawPanel(first, closeUp, fronts, axis),
    names(closeUp, beside, lane),
    beside
      ? drawPanel(second, closeUp, fronts, axis)
      : html`<g transform="${below}">${drawPanel(second, closeUp, fronts, axis)}${names(closeUp, false, lane)}</g>`,
  ])
}
