import type { SpectraProvider } from '../../src/measure/group/group-input.js'
import { accumulateSpectra } from '../../src/measure/spectra/accumulate.js'
import { arraySource } from '../../src/measure/spectra/frame-source.js'
import { inArena } from '../../src/signal/kernel/arena.js'

/** Spectra of sources held in memory, summed where they stand. One entry per source, one array per channel. */
export const inPlace =
  (sources: readonly (readonly Float64Array[])[]): SpectraProvider =>
  async (plan, segment) => {
    const summed = inArena(() => {
      const sums = accumulateSpectra(sources.map(arraySource), plan, segment)
      // No array may leave the kernel memory.
      return { ...sums, autos: sums.autos.map(auto => auto.slice()) }
    })
    return Promise.resolve(summed)
  }
