/** Numbers as people read them: a true minus sign, a fixed number of places, a dash where there is no value. */
import { fixed, signed } from '../../terms/figure-text.js'

export { clock, timeOfDay } from '../../terms/clock-text.js'

export { fixed, signed }

export const NO_VALUE = '–'

/** `write(value)`, or a dash for null. */
export const orDash = (value: number | null, write: (value: number) => string): string =>
  value === null ? NO_VALUE : write(value)

/** With its sign and one place: "+2.7 dB". */
export const decibels = (db: number): string => `${signed(db, 1)} dB`

/** Milliseconds with two places, three below a tenth. */
export const milliseconds = (ms: number): string => `${fixed(ms, Math.abs(ms) < 0.1 ? 3 : 2)} ms`

/** To a centimetre: "0.68 m". */
export const metres = (m: number): string => `${fixed(m, 2)} m`

/** How near two levels are: "within 0.03 dB", never within nothing. */
export const within = (db: number): string =>
  db < 0.005 ? 'to better than 0.01 dB' : `within ${fixed(db, 2)} dB`

/** Three significant figures: "251 Hz", "1.26 kHz". */
export const hertz = (hz: number): string =>
  hz >= 999.5 ? `${Number((hz / 1000).toPrecision(3))} kHz` : `${Number(hz.toPrecision(3))} Hz`

/** "60–250 Hz", "250 Hz – 2 kHz". */
export const bandWords = (fromHz: number, toHz: number): string =>
  hertz(fromHz).endsWith('kHz') === hertz(toHz).endsWith('kHz')
    ? `${hertz(fromHz).replace(/ k?Hz$/, '')}–${hertz(toHz)}`
    : `${hertz(fromHz)} – ${hertz(toHz)}`

/** "1 run", "3 runs". */
export const counted = (n: number, one: string, many = `${one}s`): string => `${n} ${n === 1 ? one : many}`
