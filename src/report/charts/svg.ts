import { html, type Markup } from '../page/markup.js'

/** What a chart is for those who do not see it: its name, and in a sentence or two what it shows. */
export interface ChartText {
  /** Unique in the page. */
  readonly id: string
  readonly title: string
  readonly description: string
}

/** A drawing with its text alternative. Scales with its container, never above its natural width. */
export const svg = (text: ChartText, width: number, height: number, content: readonly Markup[]): Markup =>
  html`<svg class="chart" viewBox="0 0 ${width} ${height}" width="${width}" height="${height}" role="img" aria-labelledby="${text.id}-t ${text.id}-d"><title id="${text.id}-t">${text.title}</title><desc id="${text.id}-d">${text.description}</desc>${content}</svg>`
