import type { Verdict } from '../../measure/measurement.js'
import { html, type Markup } from './markup.js'

// Full, half, empty: told apart without colour, also on paper.
const SHAPES: Readonly<Record<Verdict, Markup>> = {
  sure: html`<circle cx="6" cy="6" r="5" class="full"/>`,
  unsure: html`<circle cx="6" cy="6" r="4.4" class="rim"/><path class="full" d="M6 1.2a4.8 4.8 0 0 1 0 9.6z"/>`,
  unknown: html`<circle cx="6" cy="6" r="4.4" class="rim"/>`,
}

/** A verdict as shape and word. */
export const verdictMark = (verdict: Verdict, words: string = verdict): Markup =>
  html`<span class="verdict ${verdict}"><svg class="disc" viewBox="0 0 12 12" width="12" height="12" aria-hidden="true" focusable="false">${SHAPES[verdict]}</svg> ${words}</span>`
