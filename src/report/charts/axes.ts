import { html, type Markup } from '../page/markup.js'
import { type Box, px, type Scale, type Tick } from './scales.js'

/** Horizontal axis under the plot, with fine lines through it and what it counts, with its unit. */
export const bottomAxis = (box: Box, x: Scale, ticks: readonly Tick[], title: string): Markup =>
  html`<g>${ticks.map(tick => {
    const at = px(x(tick.at))
    return html`<line class="${tick.label === '' ? 'grid faint' : 'grid'}" x1="${at}" x2="${at}" y1="${box.top}" y2="${box.height - box.bottom}"/>${
      tick.label !== '' &&
      html`<text class="tick" x="${at}" y="${box.height - box.bottom + 15}" text-anchor="middle">${tick.label}</text>`
    }`
  })}<text class="axis" x="${px((box.left + box.width - box.right) / 2)}" y="${box.height - 3}" text-anchor="middle">${title}</text></g>`

/** Vertical axis left of the plot; its title stands on top of it, level, so that nobody has to turn the head. */
export const leftAxis = (box: Box, y: Scale, ticks: readonly Tick[], title: string): Markup =>
  html`<g>${ticks.map(tick => {
    const at = px(y(tick.at))
    return html`<line class="grid" x1="${box.left}" x2="${box.width - box.right}" y1="${at}" y2="${at}"/><text class="tick" x="${box.left - 6}" y="${at + 4}" text-anchor="end">${tick.label}</text>`
  })}<text class="axis" x="0" y="${Math.max(11, box.top - 9)}">${title}</text></g>`
