import fs from 'node:fs'
import { afterAll, describe, expect, test } from 'vitest'
import { RealFft } from '../../src/signal/fft.js'
import { thirdOctaves } from '../../src/signal/third-octave.js'
import { quietContext } from '../../src/terms/task.js'
import type { NeighbourInput } from '../../src/tone/neighbours/neighbour-input.js'
import { neighbourSums, pairsAmong } from '../../src/tone/neighbours/neighbour-sums.js'
import { temporaryFolder, writeWave } from './setting/plans.js'
import * as sounds from './setting/sounds.js'

/**
 * What groups hold and share, against the same sums taken the plain way from the sounds as they were made: Hann windows of 2048 frames, five a
 * block, half apart (8 kHz). Transforms in single precision: -135 dB of a frame's level.
 */
const RATE = 8000
const SIZE = 2048
const HOP = SIZE / 2
const BLOCK = 5 * HOP

const folder = temporaryFolder()
afterAll(() => {
  fs.rmSync(folder, { recursive: true, force: true })
})

const write = (name: string, ...channels: Float64Array[]): string => {
  const file = `${folder}/${name}.wav`
  writeWave(file, channels, RATE)
  return file
}

const drum = sounds.whiteNoise(4 * RATE, 'drum')
const left = sounds.mixed(sounds.scaled(drum, 0.3), sounds.whiteNoise(4 * RATE, 'left', 0.02))
const right = sounds.whiteNoise(4 * RATE, 'right', 0.03)
/** Nothing until the end of block 2. */
const late = sounds.whiteNoise(4 * RATE, 'late', 0.05).map((x, n) => (n < 3 * BLOCK + HOP ? 0 : x))

const all = { kind: 'all' } as const
const input: NeighbourInput = {
  sampleRateHz: RATE,
  frames: 4 * RATE,
  channels: 2,
  voices: [
    {
      recorded: [
        { file: write('drum', drum), selection: all, channels: 1, atFrame: 100, gain: 0.5 },
        { file: write('pair', left, right), selection: all, channels: 2, atFrame: -30, gain: -0.25 },
      ],
      delivered: [{ file: write('kit', left, drum), channels: 2 }],
    },
    {
      recorded: [{ file: write('late', late), selection: all, channels: 1, atFrame: 0, gain: 1 }],
      delivered: [
        { file: `${folder}/late.wav`, channels: 1 },
        { file: write('other', right), channels: 1 },
      ],
    },
    {
      recorded: [{ file: `${folder}/drum.wav`, selection: all, channels: 1, atFrame: 90, gain: 1 }],
      delivered: [{ file: `${folder}/drum.wav`, channels: 1 }],
    },
  ],
  firstBlock: 1,
  blocks: 3,
}

/** By voice and channel, the sum at a frame of the timeline. */
const laid = {
  before: [
    [left, right].map(side => (n: number) => 0.5 * (drum[n - 100] ?? 0) - 0.25 * (side[n + 30] ?? 0)),
    [late, late].map(side => (n: number) => side[n] ?? 0),
    [drum, drum].map(side => (n: number) => side[n - 90] ?? 0),
  ],
  after: [
    [left, drum].map(side => (n: number) => side[n] ?? 0),
    [late, late].map(side => (n: number) => (side[n] ?? 0) + (right[n] ?? 0)),
    [drum, drum].map(side => (n: number) => side[n] ?? 0),
  ],
}

const edges = thirdOctaves(RATE).map(({ lowHz, highHz }) => [lowHz, highHz] as const)

/** Energies of two voices' product by third octave: of one with itself, or what two share. */
const plain = (time: 'before' | 'after', block: number): ((g: number, h: number) => number[]) => {
  const fft = new RealFft(SIZE)
  const sums = new Map<string, number[]>()
  for (const channel of [0, 1]) {
    for (let w = 0; w < 5; w++) {
      const spectra = laid[time].map(voice => {
        const spectrum = new Float64Array(SIZE + 2)
        const frame = Float64Array.from(
          { length: SIZE },
          (_, n) => Math.sin((Math.PI * n) / SIZE) ** 2 * voice[channel]!(block * BLOCK + w * HOP + n),
        )
        fft.forward(frame, spectrum)
        return spectrum
      })
      for (const g of spectra.keys()) {
        for (const h of spectra.keys()) {
          const energies = sums.get(`${g}/${h}`) ?? edges.map(() => 0)
          edges.forEach(([low, high], band) => {
            for (let k = 0; k < SIZE / 2; k++) {
              const hz = (k * RATE) / SIZE
              if (hz < low || hz >= high) continue
              energies[band]! +=
                spectra[g]![2 * k]! * spectra[h]![2 * k]! + spectra[g]![2 * k + 1]! * spectra[h]![2 * k + 1]!
            }
          })
          sums.set(`${g}/${h}`, energies)
        }
      }
    }
  }
  return (g, h) => sums.get(`${g}/${h}`)!
}

describe('energies of groups by third octave', () => {
  test('of each and of each pair, block by block, as recorded and as delivered', async () => {
    const blocks = await neighbourSums(input, quietContext)
    expect(blocks).toHaveLength(3)
    expect(pairsAmong(3)).toEqual([
      [0, 1],
      [0, 2],
      [1, 2],
    ])
    let compared = 0
    blocks.forEach((block, b) => {
      for (const time of ['before', 'after'] as const) {
        const sums = plain(time, b + 1)
        const { own, shared } = block[time]
        const close = (found: Float64Array, g: number, h: number): void => {
          sums(g, h).forEach((value, band) => {
            const level = Math.sqrt(sums(g, g)[band]! * sums(h, h)[band]!)
            expect(Math.abs(found[band]! - value)).toBeLessThanOrEqual(1e-5 * level)
            compared++
          })
        }
        for (const g of own.keys()) close(own[g]!, g, g)
        pairsAmong(3).forEach(([g, h], pair) => {
          close(shared[pair]!, g, h)
        })
      }
    })
    expect(compared).toBe(3 * 2 * 6 * edges.length)
    // Silence is exactly that, whatever was heard before it.
    expect(blocks[0]!.before.own[1]!.every(energy => energy === 0)).toBe(true)
    expect(blocks[2]!.before.own[1]!.some(energy => energy > 0)).toBe(true)
  })
})
