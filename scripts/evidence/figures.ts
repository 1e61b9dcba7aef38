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

/** The figure of a row in words: "0.0042 frames", "−163.1 dB". Rounded so that nothing is told better than it was. */
export const figureText = ({ tell, unit, decimals }: Row, values: readonly number[]): string => {
  const [least, most] = [Math.min(...values), Math.max(...values)]
  const withUnit = (text: string): string => (unit === '' ? text : `${text} ${unit}`)
  if (tell === 'count') return String(values.filter(value => value !== 0).length)
  if (tell === 'largest') return withUnit(upwards(most, decimals))
  if (tell === 'range') return withUnit(`${downwards(least, decimals)} … ${upwards(most, decimals)}`)
  return withUnit(upwards(Math.max(-least, most), decimals))
}

const upwards = (value: number, decimals: number): string => {
  const scale = 10 ** decimals
  return text(Math.ceil(value * scale - 1e-9) / scale, decimals)
}

const downwards = (value: number, decimals: number): string => {
  const scale = 10 ** decimals
  return text(Math.floor(value * scale + 1e-9) / scale, decimals)
}

// A true minus sign, and none before a zero.
const text = (value: number, decimals: number): string =>
  (value === 0 ? 0 : value).toFixed(decimals).replace('-', '−')
