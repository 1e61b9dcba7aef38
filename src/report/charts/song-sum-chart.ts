import { max } from 'd3-array'
import { html, type Markup } from '../page/markup.js'
import { fixed } from '../words/figures.js'
import { bottomAxis, leftAxis } from './axes.js'
import { pathOf } from './paths.js'
import { type Box, frequencyTicks, linear, logarithmic } from './scales.js'
import { type ChartText, svg } from './svg.js'

/** Levels of the sum of all groups in third octaves, dB. */
export interface SongSum {
  readonly centreHz: readonly number[]
  readonly beforeDb: readonly (number | null)[]
  readonly afterDb: readonly (number | null)[]
}

const REACH_DB = 48
const STEP_DB = 12

/** The sum of all groups over frequency, as recorded and as delivered, under its loudest third octave. */
export const songSumChart = (sum: SongSum, text: ChartText, width: number): Markup => {
  const narrow = width < 480
  const box: Box = { width, height: narrow ? 180 : 210, left: 34, right: 10, top: 26, bottom: 34 }
  const top = max([...sum.beforeDb, ...sum.afterDb], value => value ?? Number.NEGATIVE_INFINITY) ?? 0
  const domain = [sum.centreHz[0] ?? 25, sum.centreHz.at(-1) ?? 20000] as const
  const x = logarithmic([...domain], [box.left, width - box.right])
  const y = linear([0, -REACH_DB], [box.top, box.height - box.bottom])
  const ticks = Array.from({ length: REACH_DB / STEP_DB + 1 }, (_, i) => ({
    at: -i * STEP_DB,
    label: fixed(-i * STEP_DB, 0),
  }))
  const curve = (values: readonly (number | null)[]): string =>
    pathOf(
      sum.centreHz,
      values.map(value => (value === null || value < top - REACH_DB ? null : value - top)),
      x,
      y,
    )
  return svg(text, width, box.height, [
    leftAxis(box, y, ticks, 'level, dB'),
    bottomAxis(box, x, frequencyTicks([...domain], narrow), 'frequency, Hz'),
    html`<path class="curve before" d="${curve(sum.beforeDb)}"/>`,
    html`<path class="curve after" d="${curve(sum.afterDb)}"/>`,
  ])
}
