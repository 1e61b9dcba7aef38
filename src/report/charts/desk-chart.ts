import type { BlendTone } from '../../tone/tone.js'
import { html, type Markup } from '../page/markup.js'
import { fixed } from '../words/figures.js'
import { bottomAxis, leftAxis } from './axes.js'
import { lossDomain } from './loss-chart.js'
import { pathOf } from './paths.js'
import { type Box, frequencyTicks, linear, logarithmic } from './scales.js'
import { type ChartText, svg } from './svg.js'

/** Deepest loss that is drawn, dB: the faders can make any. */
const DEEPEST_DB = 24
const STEP_DB = 6

/**
 * Loss over frequency with a third curve that the page's script draws as the faders move. What it needs to know of the scales stands in the
 * drawing: `data-scale` holds lowest and highest frequency, left and right edge, top and floor, deepest loss.
 */
export const deskChart = (tone: BlendTone, text: ChartText, width: number): Markup => {
  const narrow = width < 480
  const box: Box = { width, height: narrow ? 190 : 220, left: 28, right: 10, top: 26, bottom: 34 }
  const [low, high] = lossDomain(tone)
  const x = logarithmic([low, high], [box.left, width - box.right])
  const floor = box.height - box.bottom
  const y = linear([0, DEEPEST_DB], [box.top, floor])
  const ticks = Array.from({ length: DEEPEST_DB / STEP_DB + 1 }, (_, i) => ({
    at: i * STEP_DB,
    label: fixed(i * STEP_DB, 0),
  }))
  const curve = (values: readonly (number | null)[]): string =>
    pathOf(
      tone.frequenciesHz,
      values.map(value => (value === null ? null : Math.min(DEEPEST_DB, value))),
      x,
      y,
    )
  const scale = [low, high, box.left, width - box.right, box.top, floor, DEEPEST_DB].join(' ')
  return svg(text, width, box.height, [
    leftAxis(box, y, ticks, 'loss, dB'),
    bottomAxis(box, x, frequencyTicks([low, high], narrow), 'frequency, Hz'),
    html`<path class="curve after" d="${curve(tone.after.lossDb)}"/>`,
    html`<path class="curve before" d="${curve(tone.before.lossDb)}"/>`,
    html`<path class="curve yours" data-scale="${scale}" d=""/>`,
  ])
}
