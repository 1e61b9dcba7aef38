import { line } from 'd3-shape'
import { px, type Scale } from './scales.js'

/** A path through points; null breaks it. Empty where nothing is defined. */
export const pathOf = (xs: readonly number[], ys: readonly (number | null)[], x: Scale, y: Scale): string =>
  line<number>()
    .defined(i => Number.isFinite(xs[i]) && Number.isFinite(ys[i] ?? NaN))
    .x(i => px(x(xs[i] ?? 0)))
    .y(i => px(y(ys[i] ?? 0)))
    .digits(1)(xs.map((_, i) => i)) ?? ''
