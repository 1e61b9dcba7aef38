import type { Polarity } from '../measure/measurement.js'

/** Two turns make none. */
export const multiplied = (a: Polarity, b: Polarity): Polarity => (a === b ? 'normal' : 'inverted')

/** The polarity as an amplitude factor: 1 or -1. */
export const signOf = (polarity: Polarity): 1 | -1 => (polarity === 'normal' ? 1 : -1)
