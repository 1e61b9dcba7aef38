import type { Desk, DeskStrip } from '../../../src/report/desk/desk.js'
import { floatsToText } from '../../../src/report/desk/float-text.js'
import type { Listen } from '../../../src/report/listen/listen.js'
import { RATE, SECONDS } from './sources.js'

/** One source of an invented desk: gain in the blend, lag as recorded in frames, and which signal it is. */
const strip = (
  source: string,
  gainDb: number,
  lagSamples: number,
  signal: number,
  inverted = false,
): DeskStrip => ({
  source,
  isReference: lagSamples === 0,
  gainDb,
  polarity: inverted ? 'inverted' : 'normal',
  lagSamples: lagSamples === 0 ? null : lagSamples,
  nudgeSamples: 0,
  leaves: [
    {
      source: `upright-bass/${source}`,
      gain: (inverted ? -1 : 1) * Math.exp(gainDb * (Math.LN10 / 20)),
      atSamples: -lagSamples,
      recordedGain: Math.exp(gainDb * (Math.LN10 / 20)),
      recordedAtSamples: 0,
      follow: null,
      signals: [signal],
      laterSamples: Math.round(lagSamples) - lagSamples,
    },
  ],
})

const CELLS = 300
const hz = Array.from({ length: CELLS }, (_, k) => 20 * Math.exp((k / CELLS) * Math.log(1000)))
const flat = (value: number): string => floatsToText(new Array<number>(CELLS).fill(value))

/** Three sources that share all their sound, lined up to the nearest frame. */
export const inventedDesk: Desk = {
  blends: [
    { name: 'bass', channels: 1, strips: [strip('piezo', -5.2, 0, 0), strip('bridge', -6.9, 95.31, 1)] },
    {
      name: 'bass-roomy',
      channels: 1,
      strips: [strip('piezo', 0, 0, 0), strip('bridge', -2, 95.31, 1), strip('room', -9, 368.2, 2, true)],
    },
  ],
  spectra: {
    lowCells: 0,
    frequenciesHz: floatsToText(hz),
    binsInCell: flat(1),
    lowBinHz: 0.37,
    normalBinHz: 2.93,
    auto: [flat(1), flat(1), flat(1)],
    pairs: [
      { i: 0, j: 1, real: flat(1), imaginary: flat(0), magnitude: flat(1) },
      { i: 0, j: 2, real: flat(-1), imaginary: flat(0), magnitude: flat(1) },
      { i: 1, j: 2, real: flat(-1), imaginary: flat(0), magnitude: flat(1) },
    ],
    notes: {
      heard: 100,
      played: [
        { midi: 28, energies: [30, 10, 5] },
        { midi: 33, energies: [40, 5] },
      ],
      weights: [1, 1, 0.2],
    },
  },
}

const PASSAGE = { startFrame: 4 * RATE, frames: 15 * RATE }

export const inventedListen: Listen = {
  startSeconds: PASSAGE.startFrame / RATE,
  ...PASSAGE,
  chosenBy: 'change',
  wishedSeconds: Math.min(20, SECONDS),
  loudestDifferenceFrame: 3 * RATE,
  sounds: ['piezo', 'bridge', 'room'].map((source, s) => ({
    id: `sound-0-${s}`,
    source: `upright-bass/${source}`,
    channels: 1,
    coding: 's24',
    sha256: String(s).repeat(64),
    ...PASSAGE,
  })),
}
