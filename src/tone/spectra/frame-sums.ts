import { float64 } from '../../signal/kernel/arena.js'
import { CrossSpectra } from '../../signal/spectra.js'
import { applyWindow } from '../../signal/spectral-sums.js'
import * as portable from '../../terms/portable.js'
import type { Resolution } from './resolution.js'
import type { SpectralSums } from './sums.js'
import type { View } from './view.js'

/** Takes spectra of frames of all signals of a view and sums them. */
export class FrameSums {
  readonly #view: View
  readonly #resolution: Resolution
  readonly #spectra: CrossSpectra
  readonly #window: Float64Array
  readonly #windowed: Float64Array
  readonly #asRecorded: readonly Float64Array[]
  readonly #mixture: Float64Array
  readonly #turned: Float64Array
  #latestEnergy = 0
  #energy = 0
  #energySquared = 0

  constructor(view: View, resolution: Resolution) {
    this.#view = view
    this.#resolution = resolution
    this.#spectra = new CrossSpectra(view.signals.length, resolution.fftSize, view.pairs)
    this.#windowed = float64(resolution.fftSize)
    this.#window = float64(resolution.window.length)
    this.#window.set(resolution.window)
    this.#asRecorded = view.asRecorded.map(() => new Float64Array(this.#spectra.bins))
    this.#mixture = new Float64Array(resolution.fftSize + 2)
    this.#turned = new Float64Array(resolution.fftSize + 2)
  }

  /** Spectra of the frame taken last, one per signal. */
  get latest(): readonly Float64Array[] {
    return this.#spectra.latest
  }

  /** Spectra of one frame, `start` frames into each buffer, without summing. False, and nothing done, where all is silent. */
  transform(buffers: readonly Float64Array[], start: number): boolean {
    const window = this.#window
    const windowed = this.#windowed
    const spectra = this.#spectra.latest
    this.#latestEnergy = 0
    buffers.forEach((buffer, signal) => {
      const { energy } = applyWindow(window, buffer, start, windowed)
      this.#latestEnergy += energy
      if (energy === 0) spectra[signal]!.fill(0)
      else this.#spectra.fft.forward(windowed, spectra[signal]!)
    })
    return this.#latestEnergy > 0
  }

  /** Adds the frame taken last. `offsets`: where each signal lies, frames on the timeline (for the blends as recorded). */
  add(offsets: readonly number[]): void {
    this.#energy += this.#latestEnergy
    this.#energySquared += this.#latestEnergy * this.#latestEnergy
    this.#view.asRecorded.forEach((blend, b) => {
      this.#addAsRecorded(blend.parts, offsets, this.#asRecorded[b]!)
    })
    this.#spectra.accumulate()
  }

  sums(): SpectralSums {
    const { auto, real, imaginary } = this.#spectra
    return {
      auto,
      real,
      imaginary,
      asRecorded: this.#asRecorded,
      energy: this.#energy,
      energySquared: this.#energySquared,
    }
  }

  #addAsRecorded(
    parts: View['asRecorded'][number]['parts'],
    offsets: readonly number[],
    power: Float64Array,
  ): void {
    const mixture = this.#mixture
    const turned = this.#turned
    mixture.fill(0)
    for (const { signal, gain, recordedAtSamples } of parts) {
      turned.set(this.#spectra.latest[signal]!)
      const samples = recordedAtSamples - offsets[signal]!
      turnSpectrum(turned, samples / this.#resolution.factor, this.#resolution.fftSize)
      for (let k = 0; k < mixture.length; k++) mixture[k] = mixture[k]! + gain * turned[k]!
    }
    for (let k = 0; k < power.length; k++) {
      const re = mixture[2 * k]!
      const im = mixture[2 * k + 1]!
      power[k] = power[k]! + re * re + im * im
    }
  }
}

/** Multiplies a spectrum by e^(-j 2 pi k samples / size): the frame's sound later by so many samples. In place. */
const turnSpectrum = (spectrum: Float64Array, samples: number, size: number): void => {
  const step = (-2 * Math.PI * samples) / size
  for (let k = 0; 2 * k < spectrum.length; k++) {
    const cosine = portable.cos(step * k)
    const sine = portable.sin(step * k)
    const re = spectrum[2 * k]!
    const im = spectrum[2 * k + 1]!
    spectrum[2 * k] = re * cosine - im * sine
    spectrum[2 * k + 1] = re * sine + im * cosine
  }
}
