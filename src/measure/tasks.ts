import { fingerprintOf } from '../wave/fingerprint.js'
import { searchPair } from './group/search-pair.js'
import { compareRates } from './health/compare-rates.js'
import { sumStretched } from './health/sum-stretched.js'
import { estimatePair } from './pair/pair-estimate.js'
import { scanSource } from './scan/scan-source.js'
import { findSlatesIn, respondToSlate } from './slate/slate-tasks.js'
import { sumSpectra } from './spectra/sum-spectra.js'

/** What this room does in other threads: plain data in, plain data and typed arrays out. */
export const measureTasks = {
  fingerprintOf,
  scanSource,
  sumSpectra,
  sumStretched,
  searchPair,
  estimatePair,
  compareRates,
  findSlatesIn,
  respondToSlate,
}
