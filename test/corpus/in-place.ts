import type { SpectraProvider } from '../../src/measure/group/group-input.js'
import { accumulateSpectra } from '../../src/measure/spectra/accumulate.js'
import { arraySource } from '../../src/measure/spectra/frame-source.js'
import { inArena } from '../../src/signal/kernel/arena.js'

/** Spectra of sources held in memory, summed where they stand. One entry per source, one array per channel. */
export const inPlace =
  (sources: readonly (readonly Float64Array[])[]): SpectraProvider =>
  async (plan, segment) =>
    Promise.resolve(inArena(() => accumulateSpectra(sources.map(arraySource), plan, segment)))
