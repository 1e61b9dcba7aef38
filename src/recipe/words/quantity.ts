/** A number with its unit in one string, as a recipe writes it. */
export interface Quantity {
  readonly value: number
  readonly unit: string
}

/** Kinds of quantity, named as their definitions in the schema. */
export type QuantityKind = 'time' | 'signedTime' | 'length' | 'gain' | 'truePeak' | 'temperature'

interface KindFacts {
  /** "a time". */
  readonly article: string
  readonly units: readonly string[]
  /** The unit that is meant when a bare number stands there. */
  readonly usual: string
  readonly signed: boolean
  readonly example: string
}

export const QUANTITIES: Readonly<Record<QuantityKind, KindFacts>> = {
  time: { article: 'a time', units: ['ms', 's', 'samples'], usual: 'ms', signed: false, example: '40 ms' },
  signedTime: {
    article: 'a time',
    units: ['ms', 's', 'samples'],
    usual: 'ms',
    signed: true,
    example: '2.1 ms',
  },
  length: {
    article: 'a length',
    units: ['mm', 'cm', 'm', 'in', 'ft'],
    usual: 'cm',
    signed: false,
    example: '25 cm',
  },
  gain: { article: 'a gain', units: ['dB'], usual: 'dB', signed: true, example: '-3 dB' },
  truePeak: { article: 'a true peak', units: ['dBTP'], usual: 'dBTP', signed: true, example: '-1 dBTP' },
  temperature: { article: 'a temperature', units: ['C', 'F'], usual: 'C', signed: true, example: '21 C' },
}

/** Other spellings that people use, with the unit that they mean. */
const OTHER_SPELLINGS: Readonly<Record<string, string>> = {
  sample: 'samples',
  smp: 'samples',
  frame: 'samples',
  frames: 'samples',
  msec: 'ms',
  msecs: 'ms',
  millisecond: 'ms',
  milliseconds: 'ms',
  sec: 's',
  secs: 's',
  second: 's',
  seconds: 's',
  millimetre: 'mm',
  millimetres: 'mm',
  centimetre: 'cm',
  centimetres: 'cm',
  centimeter: 'cm',
  centimeters: 'cm',
  metre: 'm',
  metres: 'm',
  meter: 'm',
  meters: 'm',
  inch: 'in',
  inches: 'in',
  '"': 'in',
  foot: 'ft',
  feet: 'ft',
  "'": 'ft',
  decibel: 'dB',
  '°c': 'C',
  celsius: 'C',
  '°f': 'F',
  fahrenheit: 'F',
}

/** The quantity that a text of the schema's form holds; null where it has another form. */
export const quantityOf = (kind: QuantityKind, text: string): Quantity | null => {
  const { units, signed } = QUANTITIES[kind]
  const match = /^([+-]?)([0-9]+(?:\.[0-9]+)?) ?([A-Za-z]+)$/.exec(text)
  if (match === null || (match[1] !== '' && !signed)) return null
  const unit = match[3] === 'sample' ? 'samples' : match[3]!
  const value = Number(match[1]! + match[2]!)
  return units.includes(unit) && Number.isFinite(value) ? { value: value === 0 ? 0 : value, unit } : null
}

/** What is wrong with a value that is no quantity of its kind, and the nearest one that is. */
export const quantityMistake = (
  kind: QuantityKind,
  value: unknown,
): { readonly message: string; readonly expected: string; readonly nearest: string | null } => {
  const { article, units, usual, signed, example } = QUANTITIES[kind]
  const expected = `${article} with its unit (${units.join(', ')}), such as "${example}"`
  if (typeof value === 'number') {
    const fits = Number.isFinite(value) && (signed || value >= 0)
    return { message: `${value} has no unit`, expected, nearest: fits ? `${value} ${usual}` : null }
  }
  if (typeof value !== 'string') return { message: `${article} is expected here`, expected, nearest: null }
  const parts = /^\s*([+\-\u2212\u2013]?)\s*(\d*(?:[.,]\d+)?)\s*(.*?)\s*$/u.exec(value)
  const [, sign = '', digits = '', typedUnit = ''] = parts ?? []
  if (!/\d/.test(digits))
    return { message: `"${value}" is no ${article.replace(/^an? /, '')}`, expected, nearest: null }
  const unit = unitMeant(typedUnit, units, usual)
  const number = `${sign === '' || sign === '+' ? '' : '-'}${digits.replace(',', '.').replace(/^\./, '0.')}`
  const nearest = unit === null || (number.startsWith('-') && !signed) ? null : `${number} ${unit}`
  const message =
    typedUnit === ''
      ? `"${value}" has no unit`
      : units.includes(typedUnit)
        ? number.startsWith('-') && !signed
          ? `${article} below zero means nothing here`
          : `"${value}" is not written as a number with its unit`
        : `"${typedUnit}" is no unit of ${article}`
  return { message, expected, nearest }
}

const unitMeant = (typed: string, units: readonly string[], usual: string): string | null => {
  if (typed === '') return usual
  const lower = typed.toLowerCase()
  if (units.length === 1 && lower.startsWith('db')) return usual
  const meant = OTHER_SPELLINGS[lower] ?? units.find(unit => unit.toLowerCase() === lower)
  return meant !== undefined && units.includes(meant) ? meant : null
}

/** Seconds of a time; `samples` needs the rate, null without one. */
export const secondsOf = (time: Quantity, sampleRateHz: number | null): number | null => {
  if (time.unit === 'ms') return time.value / 1000
  if (time.unit === 's') return time.value
  return sampleRateHz === null ? null : time.value / sampleRateHz
}

/** Frames of a time; exact where it is written in samples. Null without a rate for a time in seconds. */
export const samplesOf = (time: Quantity, sampleRateHz: number | null): number | null => {
  if (time.unit === 'samples') return time.value
  if (sampleRateHz === null) return null
  return time.unit === 'ms' ? (time.value * sampleRateHz) / 1000 : time.value * sampleRateHz
}

/** Metres in one unit of length; the inch is 25.4 mm by definition (international yard and pound agreement, 1959). */
const METRES: Readonly<Record<string, number>> = { mm: 0.001, cm: 0.01, m: 1, in: 0.0254, ft: 0.3048 }

/** Metres; an inch has 25.4 mm (international yard and pound agreement, 1959). */
export const metresOf = (length: Quantity): number => length.value * METRES[length.unit]!

/** Degrees Celsius. */
export const celsiusOf = (temperature: Quantity): number =>
  temperature.unit === 'F' ? ((temperature.value - 32) * 5) / 9 : temperature.value
