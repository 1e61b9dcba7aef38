import { thirdOctavesOf } from './check/third-octaves-of.js'
import { neighbourSums } from './neighbours/neighbour-sums.js'
import { groupSpectra } from './spectra/group-spectra.js'

/** What this room does in worker threads. */
export const toneTasks = { groupSpectra, thirdOctavesOf, neighbourSums }
