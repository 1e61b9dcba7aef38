import { max } from 'd3-array'
import type { LagMap } from '../desk/lag-map.js'
import { html, type Markup } from '../page/markup.js'
import { bottomAxis, leftAxis } from './axes.js'
import { pathOf } from './paths.js'
import { type Box, linear, px, roundTicks } from './scales.js'
import { type ChartText, svg } from './svg.js'

/** A position that was considered and not taken. */
export interface Rival {
  readonly lagMs: number
  /** The other way round than delivered. */
  readonly turned: boolean
}

const DEEPEST_DB = 12

/** Value of a curve at a lag, by a straight line between its points; null outside. */
const valueAt = ({ lagMs }: LagMap, curve: readonly number[], lag: number): number | null => {
  const next = lagMs.findIndex(at => at >= lag)
  if (next < 0 || lag < (lagMs[0] ?? 0)) return null
  if (next === 0) return curve[0] ?? null
  const share = (lag - lagMs[next - 1]!) / (lagMs[next]! - lagMs[next - 1]!)
  return curve[next - 1]! + share * (curve[next]! - curve[next - 1]!)
}

/**
 * Loss of the whole blend over the lag of one source, either way round, with what was chosen, what was considered and what was recorded
 * (`recordedTurned`: the other way round than delivered). */
export const lagMapChart = (
  map: LagMap,
  rivals: readonly Rival[],
  recordedTurned: boolean,
  text: ChartText,
  width: number,
): Markup => {
  const box: Box = { width, height: 176, left: 28, right: 10, top: 26, bottom: 34 }
  const [low, high] = [map.lagMs[0] ?? 0, map.lagMs.at(-1) ?? 1]
  const worst = max([...map.asDeliveredDb, ...map.turnedDb]) ?? 0
  const deepest = Math.min(DEEPEST_DB, Math.max(3, Math.ceil(worst / 3) * 3))
  const x = linear([low, high], [box.left, width - box.right])
  const y = linear([0, deepest], [box.top, box.height - box.bottom])
  const curve = (values: readonly number[]): string =>
    pathOf(
      map.lagMs,
      values.map(value => Math.min(deepest, value)),
      x,
      y,
    )
  const place = (lag: number, turned: boolean): { readonly at: number; readonly down: number } | null => {
    const value = valueAt(map, turned ? map.turnedDb : map.asDeliveredDb, lag)
    return value === null ? null : { at: px(x(lag)), down: px(y(Math.min(deepest, value))) }
  }
  const rivalMarks = rivals.flatMap(({ lagMs, turned }) => {
    const spot = place(lagMs, turned)
    return spot === null
      ? []
      : [html`<path class="rival" d="M${px(spot.at - 4)} ${px(spot.down - 4)}l8 8m0 -8l-8 8"/>`]
  })
  const recorded = place(0, recordedTurned)
  const chosen = place(map.deliveredMs, false)
  return svg(text, width, box.height, [
    leftAxis(box, y, roundTicks(0, deepest, 4), 'loss of the blend, dB'),
    bottomAxis(box, x, roundTicks(low, high, width < 480 ? 5 : 8), 'pulled forward by, ms'),
    html`<path class="curve turned" d="${curve(map.turnedDb)}"/>`,
    html`<path class="curve after" d="${curve(map.asDeliveredDb)}"/>`,
    ...rivalMarks,
    recorded === null
      ? html``
      : html`<circle class="mark before" cx="${recorded.at}" cy="${recorded.down}" r="5"/>`,
    chosen === null ? html`` : html`<circle class="mark after" cx="${chosen.at}" cy="${chosen.down}" r="5"/>`,
  ])
}
