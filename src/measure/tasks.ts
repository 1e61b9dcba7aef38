import { scanSource } from './scan/scan-source.js'
import { sumSpectra } from './spectra/sum-spectra.js'

/** What this room does in other threads: plain data in, plain data and typed arrays out. */
export const measureTasks = { scanSource, sumSpectra }
