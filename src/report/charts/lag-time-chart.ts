import { max, min, ticks as niceTicks } from 'd3-array'
import { html, type Markup } from '../page/markup.js'
import { clock } from '../words/figures.js'
import { bottomAxis, leftAxis } from './axes.js'
import { pathOf } from './paths.js'
import { type Box, linear, px, roundTicks } from './scales.js'
import { type ChartText, svg } from './svg.js'

export interface LagPoint {
  readonly atSeconds: number
  readonly lagMs: number
  readonly uncertaintyMs: number
}

/** Lag of one source through the take, each block with its uncertainty; the lag of the whole take as a broken line. */
export const lagTimeChart = (
  points: readonly LagPoint[],
  wholeMs: number | null,
  text: ChartText,
  width: number,
): Markup => {
  const box: Box = { width, height: 170, left: 44, right: 12, top: 26, bottom: 34 }
  const lows = min(points, p => p.lagMs - p.uncertaintyMs) ?? 0
  const highs = max(points, p => p.lagMs + p.uncertaintyMs) ?? 0
  const middle = (lows + highs) / 2
  const half = Math.max(0.05, (highs - lows) * 0.55)
  const y = linear([middle + half, middle - half], [box.top, box.height - box.bottom])
  const end = max(points, p => p.atSeconds) ?? 1
  const x = linear([0, Math.max(1, end)], [box.left, width - box.right])
  const yTicks = roundTicks(middle - half, middle + half, 4)
  const xTicks = niceTicks(0, Math.max(1, end), width < 480 ? 4 : 8).map(at => ({ at, label: clock(at) }))
  return svg(text, width, box.height, [
    leftAxis(box, y, yTicks, 'ms late'),
    bottomAxis(box, x, xTicks, 'time in the take, min:s'),
    html`${points.map(
      p =>
        html`<line class="whisker" x1="${px(x(p.atSeconds))}" x2="${px(x(p.atSeconds))}" y1="${px(y(p.lagMs - p.uncertaintyMs))}" y2="${px(y(p.lagMs + p.uncertaintyMs))}"/>`,
    )}`,
    wholeMs === null
      ? html``
      : html`<line class="whole" x1="${box.left}" x2="${width - box.right}" y1="${px(y(wholeMs))}" y2="${px(y(wholeMs))}"/>`,
    html`<path class="curve after" d="${pathOf(
      points.map(p => p.atSeconds),
      points.map(p => p.lagMs),
      x,
      y,
    )}"/>`,
  ])
}
