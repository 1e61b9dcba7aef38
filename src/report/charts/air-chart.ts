import { max, min } from 'd3-array'
import { html, type Markup } from '../page/markup.js'
import { linear, px, roundTicks, type Scale } from './scales.js'
import { type ChartText, svg } from './svg.js'

/** One source on the ruler. Times are ms after the reference as recorded; null = not known. */
export interface AirRow {
  readonly name: string
  readonly recordedMs: number | null
  readonly uncertaintyMs: number | null
  readonly deliveredMs: number | null
  readonly recordedInverted: boolean
  readonly deliveredInverted: boolean
}

const ROW = 24
const TOP = 22
const BOTTOM = 34
const MARK = 6

/** A disc with the sign of its polarity: open as recorded, full as delivered. */
const mark = (x: number, y: number, inverted: boolean, side: 'before' | 'after'): Markup =>
  html`<circle class="mark ${side}" cx="${px(x)}" cy="${y}" r="${MARK}"/><path class="sign ${side}" d="M${px(x - 3)} ${y}h6${inverted ? '' : `M${px(x)} ${y - 3}v6`}"/>`

const rowOf = (row: AirRow, y: number, x: Scale, left: number, right: number): Markup => {
  const name = html`<text class="lane" x="0" y="${y + 4}">${row.name}</text>`
  const rail = html`<line class="rail" x1="${left}" x2="${right}" y1="${y}" y2="${y}"/>`
  if (row.recordedMs === null) {
    return html`${name}${rail}<text class="aside" x="${left + 6}" y="${y - 4}">lag not known</text>`
  }
  const from = x(row.recordedMs)
  const to = row.deliveredMs === null ? from : x(row.deliveredMs)
  const spread = row.uncertaintyMs === null ? 0 : Math.abs(x(row.uncertaintyMs) - x(0))
  const direction = Math.sign(to - from)
  const gap = Math.abs(to - from)
  const arrow =
    gap > 2 * MARK + 6 &&
    html`<path class="way" d="M${px(from + direction * (MARK + 1))} ${y}H${px(to - direction * (MARK + 2))}m${-4 * direction} -3.5l${4 * direction} 3.5l${-4 * direction} 3.5"/>`
  const band =
    spread > MARK &&
    html`<line class="spread" x1="${px(from - spread)}" x2="${px(from + spread)}" y1="${y}" y2="${y}"/>`
  return html`${name}${rail}${band}${arrow}${mark(from, y, row.recordedInverted, 'before')}${
    row.deliveredMs !== null && mark(to, y, row.deliveredInverted, 'after')
  }`
}

/**
 * A ruler of time and air: where each source stood against the reference and where it was put. Ms below, metres of air above, to scale.
 */
export const airChart = (
  rows: readonly AirRow[],
  metresPerMs: number,
  text: ChartText,
  width: number,
): Markup => {
  const left = 84
  const right = width - 14
  const height = TOP + rows.length * ROW + BOTTOM
  const times = rows.flatMap(row => [row.recordedMs ?? 0, row.deliveredMs ?? 0])
  const [low, high] = [Math.min(0, min(times) ?? 0), Math.max(0.5, max(times) ?? 0)]
  const edge = (high - low) * 0.04
  const x = linear([low - edge, high + edge], [left, right])
  const foot = TOP + rows.length * ROW
  const ms = roundTicks(low, high, 5)
  const air = roundTicks(low * metresPerMs, high * metresPerMs, 4).map(({ at, label }) => ({
    at: px(x(at / metresPerMs)),
    label,
  }))
  return svg(text, width, height, [
    html`<line class="ruler" x1="${left}" x2="${right}" y1="${TOP - 6}" y2="${TOP - 6}"/>${air.map(
      ({ at, label }) =>
        html`<line class="ruler" x1="${at}" x2="${at}" y1="${TOP - 10}" y2="${TOP - 6}"/><text class="tick" x="${at}" y="${TOP - 12}" text-anchor="middle">${label}</text>`,
    )}<text class="axis" x="0" y="${TOP - 12}">m of air</text>`,
    html`<line class="instant" x1="${px(x(0))}" x2="${px(x(0))}" y1="${TOP - 6}" y2="${foot}"/>`,
    ...rows.map((row, i) => rowOf(row, TOP + i * ROW + ROW / 2, x, left, right)),
    html`<line class="ruler" x1="${left}" x2="${right}" y1="${foot}" y2="${foot}"/>${ms.map(
      ({ at, label }) =>
        html`<line class="ruler" x1="${px(x(at))}" x2="${px(x(at))}" y1="${foot}" y2="${foot + 4}"/><text class="tick" x="${px(x(at))}" y="${foot + 16}" text-anchor="middle">${label}</text>`,
    )}<text class="axis" x="0" y="${foot + 16}">ms late</text>`,
  ])
}
