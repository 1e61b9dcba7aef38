import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import type { Row } from './claim.js'

/** Everything that tests noted, by what it is about. */
export type Figures = ReadonlyMap<string, readonly number[]>

export const readFigures = (folder: string): Figures =>
  new Map(
    readdirSync(folder).map(about => [
      about,
      readFileSync(join(folder, about), 'utf8').trim().split('\n').map(Number),
    ]),
  )

/** The figure of a row in words: "0.0042 frames", "−163.1 dB". */
export const figureText = ({ tell, unit, decimals }: Row, values: readonly number[]): string => {
  const withUnit = (value: number): string => `${numberText(value, decimals)}${unit === '' ? '' : ` ${unit}`}`
  if (tell === 'count') return String(values.filter(value => value !== 0).length)
  if (tell === 'largest') return withUnit(Math.max(...values))
  if (tell === 'range')
    return `${numberText(Math.min(...values), decimals)} … ${withUnit(Math.max(...values))}`
  return withUnit(Math.max(...values.map(Math.abs)))
}

// Rounded away from 0, so that no difference is told smaller than it was; a true minus sign.
const numberText = (value: number, decimals: number): string => {
  const scale = 10 ** decimals
  const rounded = (Math.sign(value) * Math.ceil(Math.abs(value) * scale - 1e-9)) / scale
  return rounded.toFixed(decimals).replace('-', '−')
}
