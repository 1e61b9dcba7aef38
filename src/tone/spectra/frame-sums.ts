import { float64 } from '../../signal/kernel/arena.js'
import { windowInto } from '../../signal/single-sums.js'
import { CrossSpectra } from '../../signal/spectra.js'
import * as portable from '../../terms/portable.js'
import type { Resolution } from './resolution.js'
import type { SpectralSums } from './sums.js'
import type { View } from './view.js'

/** Where a signal lies around the middle of a window, frames on the timeline, and whether it was turned over on the way. */
export interface SignalPlace {
  readonly offset: number
  readonly sign: 1 | -1
}

/** Takes spectra of frames of all signals of a view and sums them. */
export class FrameSums {
  readonly #view: View
  readonly #resolution: Resolution
  readonly #spectra: CrossSpectra
  readonly #window: Float64Array
  readonly #asRecorded: readonly Float64Array[]
  readonly #mixture: Float64Array
  #latestEnergy = 0
  #energy = 0
  #energySquared = 0

  constructor(view: View, resolution: Resolution) {
    this.#view = view
    this.#resolution = resolution
    this.#spectra = new CrossSpectra(view.signals.length, resolution.fftSize, view.pairs)
    this.#window = float64(resolution.window.length)
    this.#window.set(resolution.window)
    this.#asRecorded = view.asRecorded.map(() => new Float64Array(this.#spectra.bins))
    this.#mixture = new Float64Array(2 * this.#spectra.bins)
  }

  /** Spectra of the frame taken last, one per signal. */
  get latest(): readonly Float32Array[] {
    return this.#spectra.latest
  }

  /** Spectra of one frame, `start` frames into each buffer, without summing. False, and nothing done, where all is silent. */
  transform(buffers: readonly Float64Array[], start: number): boolean {
    const { fft, latest } = this.#spectra
    this.#latestEnergy = 0
    buffers.forEach((buffer, signal) => {
      const { energy } = windowInto(this.#window, buffer, start, fft.frame)
      this.#latestEnergy += energy
      if (energy === 0) latest[signal]!.fill(0)
      else fft.forward(latest[signal]!)
    })
    return this.#latestEnergy > 0
  }

  /** Adds the frame taken last. `places`: where each signal lies, frames on the timeline, and which way round (for the blends as recorded). */
  add(places: readonly SignalPlace[]): void {
    this.#energy += this.#latestEnergy
    this.#energySquared += this.#latestEnergy * this.#latestEnergy
    this.#view.asRecorded.forEach((blend, b) => {
      this.#addAsRecorded(blend.parts, places, this.#asRecorded[b]!)
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
    places: readonly SignalPlace[],
    power: Float64Array,
  ): void {
    const mixture = this.#mixture.fill(0)
    const { latest, fft } = this.#spectra
    for (const { signal, gain, recordedAtSamples } of parts) {
      const samples = (recordedAtSamples - places[signal]!.offset) / this.#resolution.factor
      addTurned(
        mixture,
        latest[signal]!,
        fft.apart,
        gain * places[signal]!.sign,
        (-2 * Math.PI * samples) / this.#resolution.fftSize,
      )
    }
    for (let k = 0; k < power.length; k++) {
      const re = mixture[2 * k]!
      const im = mixture[2 * k + 1]!
      power[k] = power[k]! + re * re + im * im
    }
  }
}

/** Adds a spectrum times gain and e^(j k step) to interleaved bins. `apart`: from a real part of the spectrum to its imaginary part. */
const addTurned = (
  mixture: Float64Array,
  spectrum: Float32Array,
  apart: number,
  gain: number,
  step: number,
): void => {
  for (let k = 0; 2 * k < mixture.length; k++) {
    const cosine = gain * portable.cos(step * k)
    const sine = gain * portable.sin(step * k)
    const re = spectrum[k]!
    const im = spectrum[apart + k]!
    mixture[2 * k] = mixture[2 * k]! + re * cosine - im * sine
    mixture[2 * k + 1] = mixture[2 * k + 1]! + re * sine + im * cosine
  }
}
