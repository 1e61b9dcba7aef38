import { ticks as niceTicks } from 'd3-array'
import { type ScaleContinuousNumeric, scaleLinear, scaleLog } from 'd3-scale'
import * as portable from '../../terms/portable.js'
import { fixed } from '../words/figures.js'

export type Scale = ScaleContinuousNumeric<number, number>

/** Outer size and inner edges of a chart, in its own units (px at natural size). */
export interface Box {
  readonly width: number
  readonly height: number
  readonly left: number
  readonly right: number
  readonly top: number
  readonly bottom: number
}

/** A value on an axis with what is written there; an empty label is a plain tick. */
export interface Tick {
  readonly at: number
  readonly label: string
}

/** From values to places on paper; a value beyond the domain lands beyond the range. */
export const linear = (domain: readonly [number, number], range: readonly [number, number]): Scale =>
  scaleLinear().domain(domain).range(range)

/** Logarithmic; both ends of the domain above 0. */
export const logarithmic = (domain: readonly [number, number], range: readonly [number, number]): Scale =>
  scaleLog().domain(domain).range(range)

/** Round values over a range, all written with as many places as the step between them needs. */
export const roundTicks = (from: number, to: number, about: number): readonly Tick[] => {
  const values = niceTicks(from, to, about)
  const step = (values[1] ?? 1) - (values[0] ?? 0)
  const places = Math.max(0, Math.min(4, -Math.floor(portable.log10(Math.abs(step)) + 1e-9)))
  return values.map(at => ({ at, label: fixed(at, places) }))
}

const DECADE = [1, 2, 3, 4, 5, 6, 7, 8, 9]

/** Ticks of a frequency axis: 1-2-5 labelled (wide) or decades and fives (narrow), the rest plain. */
export const frequencyTicks = (domain: readonly [number, number], narrow: boolean): readonly Tick[] => {
  const labelled = narrow ? [1] : [1, 2, 5]
  return [10, 100, 1000, 10000].flatMap(decade =>
    DECADE.map(n => ({
      at: n * decade,
      label: labelled.includes(n) ? (decade >= 1000 ? `${(n * decade) / 1000}k` : `${n * decade}`) : '',
    })).filter(tick => tick.at >= domain[0] * 0.999 && tick.at <= domain[1] * 1.001),
  )
}

/** A pixel coordinate, short. */
export const px = (value: number): number => Math.round(value * 10) / 10
