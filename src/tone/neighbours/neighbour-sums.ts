import { float32, float64 } from '../../signal/kernel/arena.js'
import { SingleFft } from '../../signal/single-fft.js'
import { windowInto } from '../../signal/single-sums.js'
import { type ThirdOctave, thirdOctaves } from '../../signal/third-octave.js'
import { hann } from '../../signal/windows.js'
import { interrupted } from '../../terms/interrupted.js'
import type { Task } from '../../terms/task.js'
import { type NeighbourInput, WINDOWS_IN_BLOCK, windowFrames } from './neighbour-input.js'
import { VoiceReader } from './voice-reader.js'

/** Energies of one stretch of time, as recorded or as delivered; per third octave, summed over channels and windows, not scaled. */
export interface NeighbourEnergies {
  /** Of each group by itself, |Xg|^2: `[group][band]`. */
  readonly own: readonly Float64Array[]
  /** What each pair of groups shares in phase, Re{conj(Xg) Xh}: `[pair][band]`, pairs in the order of `pairsAmong`. */
  readonly shared: readonly Float64Array[]
}

/** One block of time, as recorded and as delivered. */
export interface NeighbourBlock {
  readonly before: NeighbourEnergies
  readonly after: NeighbourEnergies
}

/** All pairs of so many: 0 with 1, 0 with 2, …, 1 with 2, … */
export const pairsAmong = (count: number): readonly (readonly [number, number])[] =>
  Array.from({ length: count }, (_, i) =>
    Array.from({ length: count - i - 1 }, (_, d) => [i, i + d + 1] as const),
  ).flat()

/** What sums over one block of all windows that begin in it. */
class BlockSums {
  readonly #fft: SingleFft
  readonly #window: Float64Array
  readonly #spectra: readonly Float32Array[]
  readonly #bands: readonly (readonly [number, number])[]
  readonly #pairs: readonly (readonly [number, number])[]

  constructor(voices: number, size: number, sampleRateHz: number) {
    this.#fft = new SingleFft(size)
    this.#window = float64(size)
    this.#window.set(hann(size))
    this.#spectra = Array.from({ length: voices }, () => float32(2 * this.#fft.apart))
    const bin = (hz: number): number => Math.min(size / 2, Math.ceil((hz * size) / sampleRateHz))
    this.#bands = thirdOctaves(sampleRateHz).map(
      ({ lowHz, highHz }: ThirdOctave) => [bin(lowHz), bin(highHz)] as const,
    )
    this.#pairs = pairsAmong(voices)
  }

  empty(): NeighbourEnergies {
    const none = (): Float64Array => new Float64Array(this.#bands.length)
    return { own: this.#spectra.map(none), shared: this.#pairs.map(none) }
  }

  /** Adds one window, which begins `start` frames into the buffers: one a group. */
  add(buffers: readonly Float64Array[], start: number, into: NeighbourEnergies): void {
    const sounds = buffers.map((buffer, voice) => {
      const { energy } = windowInto(this.#window, buffer, start, this.#fft.frame)
      if (energy > 0) this.#fft.forward(this.#spectra[voice]!)
      return energy > 0
    })
    sounds.forEach((sound, voice) => {
      if (sound) this.#sum(voice, voice, into.own[voice]!)
    })
    this.#pairs.forEach(([g, h], pair) => {
      if (sounds[g] === true && sounds[h] === true) this.#sum(g, h, into.shared[pair]!)
    })
  }

  #sum(g: number, h: number, energies: Float64Array): void {
    const x = this.#spectra[g]!
    const y = this.#spectra[h]!
    const { apart } = this.#fft
    this.#bands.forEach(([from, to], band) => {
      let energy = 0
      for (let k = from; k < to; k++) energy += x[k]! * y[k]! + x[apart + k]! * y[apart + k]!
      energies[band] = energies[band]! + energy
    })
  }
}

/**
 * What the groups of a song hold and share in third octaves, block of time by block of time, as recorded and as delivered: the one summed from
 * the recordings where they lay, the other read from the written stems.
 * @throws SumwellError as `openSource`; INTERRUPTED
 */
export const neighbourSums: Task<NeighbourInput, readonly NeighbourBlock[]> = (input, context) => {
  const size = windowFrames(input.sampleRateHz)
  const hop = size / 2
  const length = (WINDOWS_IN_BLOCK - 1) * hop + size
  const readers: VoiceReader[] = []
  try {
    for (const voice of input.voices) readers.push(new VoiceReader(voice, length))
    const sums = new BlockSums(readers.length, size, input.sampleRateHz)
    const buffers = readers.map(() => Array.from({ length: input.channels }, () => float64(length)))
    const energies = (time: 'before' | 'after', start: number): NeighbourEnergies => {
      const into = sums.empty()
      readers.forEach((reader, voice) => {
        reader.read(time, start, buffers[voice]!)
      })
      for (let channel = 0; channel < input.channels; channel++) {
        const signals = buffers.map(channels => channels[channel]!)
        for (let w = 0; w < WINDOWS_IN_BLOCK; w++) sums.add(signals, w * hop, into)
      }
      return into
    }
    return Array.from({ length: input.blocks }, (_, block) => {
      if (context.aborted) throw interrupted()
      const start = (input.firstBlock + block) * WINDOWS_IN_BLOCK * hop
      return { before: energies('before', start), after: energies('after', start) }
    })
  } finally {
    for (const reader of readers) reader.close()
  }
}
