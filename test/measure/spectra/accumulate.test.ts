import { describe, expect, test } from 'vitest'
import { accumulateSpectra } from '../../../src/measure/spectra/accumulate.js'
import { frameGrid, gridSegments } from '../../../src/measure/spectra/frame-grid.js'
import { arraySource } from '../../../src/measure/spectra/frame-source.js'
import { exactShift, meanShift, scheduledShift } from '../../../src/measure/spectra/schedule.js'
import type { SpectraPlan } from '../../../src/measure/spectra/segment-spectra.js'
import { TrackBands } from '../../../src/measure/spectra/track-bands.js'
import { RealFft } from '../../../src/signal/fft.js'
import { whiteNoise } from '../../corpus/random.js'

/*
 * Sums over a stretch of time against the same taken the plain way, frame by frame in double precision: windows, means, places, shifts by
 * fractions of a frame, silence that does not vote, frames over the edges of files kept apart. Single precision: -135 dB of a frame's level.
 */
const RATE = 8000
const N = 2 * RATE
const SIZE = 1024
const grid = frameGrid({
  ...{ sampleRateHz: RATE, frames: N, fftSize: SIZE, hopsPerWindow: 2 as const, folds: 1, blockSeconds: 0.5 },
})
const hiss = (seed: string, from: number, to: number): Float64Array =>
  whiteNoise(N, seed).map((v, n) => (n >= from && n < to ? 0.1 * v + 0.02 : 0))

const sounds = [[hiss('a', 0, N)], [hiss('b', 0, 9000), hiss('c', 0, N)]]
const LENGTHS = [N, N - 1000]
const cut = sounds.map((channels, s) => channels.map(channel => channel.slice(0, LENGTHS[s])))

const plan: SpectraPlan = {
  grid,
  traces: [
    { source: 0, channel: 0 },
    { source: 1, channel: 0 },
    { source: 1, channel: 1 },
  ],
  startFrames: [0, 250],
  shifts: [0, 30.375],
  pairs: [
    [0, 1],
    [2, 0],
  ],
  tracked: [1],
  peakRangeSamples: null,
  gates: [0, 1e-5, 0],
  lengths: LENGTHS,
  shared: { startFrame: 100, endFrame: N - 900 },
  passage: null,
}

/** Where each source is read at a frame of the group's time: whole frames, the rest by phase. */
const AHEAD = [0, 30] as const
const LEFT = [0, 0.375] as const

const plain = (chosen: SpectraPlan) => {
  const fft = new RealFft(SIZE)
  const empty = (count: number) => Array.from({ length: count }, () => new Float64Array(SIZE + 2))
  const sums = {
    inner: { autos: empty(3), cross: empty(2), voted: [0, 0, 0] },
    edge: { autos: empty(3), cross: empty(2), voted: [0, 0, 0] },
    levels: [0, 1, 2].map(() => [] as number[]),
    both: [[] as number[], [] as number[]],
  }
  for (let hop = 0; hop < grid.hops; hop++) {
    const start = (hop + 1) * grid.hop - grid.windowLength
    const onEdge = [0, 1].some(s => {
      const at = chosen.startFrames[s]! - AHEAD[s]!
      return [at, at + LENGTHS[s]!].some(edge => start < edge && start + grid.windowLength > edge)
    })
    const into = onEdge ? sums.edge : sums.inner
    const spectra = chosen.traces.map(({ source, channel }, t) => {
      const own = cut[source]![channel]!
      const { startFrame, endFrame } = chosen.shared!
      const window = Array.from(
        { length: grid.windowLength },
        (_, n) => Math.sin((Math.PI * n) / grid.windowLength) ** 2,
      )
      const values = window.map((_, n) => {
        const frame = start + n
        const heard = frame >= startFrame && frame < endFrame
        return heard ? (own[frame - chosen.startFrames[source]! + AHEAD[source]!] ?? 0) : 0
      })
      const weight = window.reduce((sum, w) => sum + w, 0)
      const mean = values.reduce((sum, v, n) => sum + window[n]! * v, 0) / weight
      const windowed = values.map((v, n) => window[n]! * (v - mean))
      const power = values.reduce((sum, v, n) => sum + (window[n]! * v) ** 2, 0)
      const square = power / (0.375 * grid.windowLength) - mean * mean
      sums.levels[t]!.push(square)
      if (!(square > chosen.gates[t]!)) return null
      into.voted[t]!++
      const spectrum = new Float64Array(SIZE + 2)
      fft.forward(Float64Array.from(windowed), spectrum)
      for (let k = 0; k <= SIZE / 2; k++) {
        const turn = (2 * Math.PI * k * LEFT[source]!) / SIZE
        const [re, im] = [spectrum[2 * k]!, spectrum[2 * k + 1]!]
        spectrum[2 * k] = re * Math.cos(turn) - im * Math.sin(turn)
        spectrum[2 * k + 1] = re * Math.sin(turn) + im * Math.cos(turn)
        into.autos[t]![k]! += re * re + im * im
      }
      return spectrum
    })
    chosen.pairs.forEach(([i, j], p) => {
      const x = spectra[i] ?? null
      const y = spectra[j] ?? null
      if (x === null || y === null) return
      if (!onEdge) sums.both[p]!.push(hop)
      for (let k = 0; k <= SIZE / 2; k++) {
        into.cross[p]![2 * k]! += x[2 * k]! * y[2 * k]! + x[2 * k + 1]! * y[2 * k + 1]!
        into.cross[p]![2 * k + 1]! += x[2 * k]! * y[2 * k + 1]! - x[2 * k + 1]! * y[2 * k]!
      }
    })
  }
  return sums
}

const close = (found: ArrayLike<number>, expected: ArrayLike<number>, count: number): void => {
  let worst = 0
  let scale = 0
  for (let k = 0; k < count; k++) {
    worst = Math.max(worst, Math.abs(found[k]! - expected[k]!))
    scale = Math.max(scale, Math.abs(expected[k]!))
  }
  expect(scale).toBeGreaterThan(0)
  expect(worst / scale).toBeLessThan(3e-6)
}

describe('sums of spectra over a stretch of time', () => {
  const sources = cut.map(channels => arraySource(channels))
  const [segment] = gridSegments(grid, 1000)
  const found = accumulateSpectra(sources, plan, segment!)
  const expected = plain(plan)

  test('of each trace and each pair, with the frames over the edges of files apart', () => {
    expect(grid.hops).toBeGreaterThan(30)
    expect(found.voted).toEqual(expected.inner.voted)
    expect(found.edge!.voted).toEqual(expected.edge.voted)
    // The second trace falls silent half-way.
    expect(found.voted[1]!).toBeLessThan(found.voted[2]! - 8)
    for (const t of [0, 1, 2]) {
      close(found.autos[t]!, expected.inner.autos[t]!, SIZE / 2 + 1)
      close(found.edge!.autos[t]!, expected.edge.autos[t]!, SIZE / 2 + 1)
      close(found.levels[t]!, expected.levels[t]!, grid.hops)
    }
    for (const p of [0, 1]) {
      close(found.cross[p]!, expected.inner.cross[p]!, SIZE + 2)
      close(found.edge!.cross[p]!, expected.edge.cross[p]!, SIZE + 2)
    }
  })

  test('block by block for the pair that is followed: together they are the whole', () => {
    const bands = new TrackBands(grid)
    const { edges } = bands
    const blocks = found.blocks
    expect(blocks.length).toBeGreaterThan(2)
    const frames = blocks.reduce((sum, block) => sum + block.frames[0]!, 0)
    expect(frames).toBe(expected.both[1]!.length)
    bands.centresHz.forEach((hz, band) => {
      expect(hz).toBeCloseTo((((edges[band]! + edges[band + 1]! - 1) / 2) * RATE) / SIZE, 9)
      let [re, im, first] = [0, 0, 0]
      for (let k = edges[band]!; k < edges[band + 1]!; k++) {
        re += expected.inner.cross[1]![2 * k]!
        im += expected.inner.cross[1]![2 * k + 1]!
        first += expected.inner.autos[2]![k]!
      }
      const sum = (pick: (block: (typeof blocks)[number]) => number): number =>
        blocks.reduce((total, block) => total + pick(block), 0)
      expect(Math.abs(sum(({ pairs }) => pairs[0]!.first[band]!) / first - 1)).toBeLessThan(1e-5)
      expect(Math.abs(sum(({ pairs }) => pairs[0]!.cross[2 * band]!) - re)).toBeLessThan(1e-5 * first)
      expect(Math.abs(sum(({ pairs }) => pairs[0]!.cross[2 * band + 1]!) - im)).toBeLessThan(1e-5 * first)
    })
    // A block has half a second; its middle is that of its frames.
    expect(grid.hopsPerBlock).toBe(8)
    expect(blocks[1]!.atSeconds).toBeCloseTo((11.5 * grid.hop) / RATE, 9)
  })

  test('only within the passage, and of no use to a run that is given up', () => {
    const within = accumulateSpectra(
      sources,
      { ...plan, passage: [{ startSeconds: 0.5, endSeconds: 1 }] },
      segment!,
    )
    const told = [...within.levels[0]!].flatMap((level, hop) => (Number.isNaN(level) ? [] : [hop]))
    // The middle of frame h lies at h hops.
    expect(told).toEqual(
      Array.from({ length: grid.hops }, (_, hop) => hop).filter(
        hop => hop * grid.hop >= 4000 && hop * grid.hop < 8000,
      ),
    )
    expect(within.edge).toBeNull()
    const given = accumulateSpectra(sources, plan, segment!, () => true)
    expect(given.voted).toEqual([0, 0, 0])
  })

  test('nothing for a trace that is in no pair', () => {
    const fewer = accumulateSpectra(sources, { ...plan, pairs: [[0, 1]], tracked: [0] }, segment!)
    expect(fewer.autos.map(({ length }) => length)).toEqual([SIZE / 2 + 1, SIZE / 2 + 1, 0])
    close(fewer.cross[0]!, found.cross[0]!, SIZE + 2)
    expect(fewer.levels[2]!.every(level => Number.isNaN(level))).toBe(true)
  })
})

describe('a shift that changes with time', () => {
  const schedule = [
    { atSeconds: 1, shiftSamples: 10 },
    { atSeconds: 3, shiftSamples: 20.6 },
  ]

  test('is straight between its knots and stays beyond them', () => {
    expect([0, 1, 1.5, 3, 9].map(seconds => exactShift(schedule, seconds))).toEqual([
      10, 10, 12.65, 20.6, 20.6,
    ])
    expect([0, 1.5, 9].map(seconds => scheduledShift(schedule, seconds))).toEqual([10, 13, 21])
    expect([exactShift(7.4, 3), scheduledShift(7.4, 3), meanShift(7.4, 3, 1)]).toEqual([7.4, 7, 7.4])
  })

  test('its mean over a stretch: the value in the middle of a straight piece, less where it bends', () => {
    expect(meanShift(schedule, 2, 1)).toBeCloseTo(15.3, 9)
    // Half of the second about the bend stays at 10, the other half rises by 5.3 a second.
    expect(meanShift(schedule, 1, 1)).toBeCloseTo(10 + (0.5 * 0.5 * 5.3) / 2, 9)
  })
})
