import type { SourceLevels } from '../desk/source-levels.js'
import { html, type Markup } from '../page/markup.js'
import { bottomAxis } from './axes.js'
import { pathOf } from './paths.js'
import { type Box, frequencyTicks, linear, logarithmic, px } from './scales.js'
import { type ChartText, svg } from './svg.js'

const LANE = 54
const TOP = 24
const BOTTOM = 34
/** From the top of a lane to its floor, dB. */
const RANGE_DB = 60

/** One lane per source, one scale of frequency: where each path has its sound. */
export const levelsChart = (
  frequenciesHz: readonly number[],
  sources: readonly SourceLevels[],
  text: ChartText,
  width: number,
): Markup => {
  const box: Box = {
    width,
    height: TOP + LANE * sources.length + BOTTOM,
    left: 84,
    right: 10,
    top: TOP,
    bottom: BOTTOM,
  }
  const [low, high] = [frequenciesHz[0] ?? 25, frequenciesHz.at(-1) ?? 20000]
  const x = logarithmic([low, high], [box.left, width - box.right])
  const lanes = sources.map(({ source, levelDb }, lane) => {
    const floor = TOP + LANE * (lane + 1) - 4
    const y = linear([-RANGE_DB, 0], [floor, TOP + LANE * lane + 4])
    const line = pathOf(frequenciesHz, levelDb, x, y)
    return html`<path class="swing after" d="${line}L${px(x(high))},${floor}L${px(x(low))},${floor}Z"/><path class="wave after" d="${line}"/><line class="zero" x1="${box.left}" x2="${width - box.right}" y1="${floor}" y2="${floor}"/><text class="lane over" x="0" y="${floor - 14}">${source}</text><text class="tick" x="${box.left - 6}" y="${floor + 3}" text-anchor="end">−${RANGE_DB}</text><text class="tick" x="${box.left - 6}" y="${TOP + LANE * lane + 10}" text-anchor="end">0</text>`
  })
  return svg(text, width, box.height, [
    bottomAxis(box, x, frequencyTicks([low, high], width < 480), 'frequency, Hz'),
    ...lanes,
    html`<text class="axis" x="0" y="11">level, dB under its loudest</text>`,
  ])
}
