import { rmSync } from 'node:fs'
import path from 'node:path'
import { TpdfQuantiser } from '../../src/signal/dither.js'
import { fastLoudness } from '../../src/signal/fast-loudness.js'
import { applyDelay, designDelay } from '../../src/signal/fractional-delay.js'
import { float64, inArena } from '../../src/signal/kernel/arena.js'
import { CrossSpectra } from '../../src/signal/spectra.js'
import { TruePeakMeter } from '../../src/signal/true-peak.js'
import { sha256OfFile } from '../../src/wave/hash.js'
import { openWave, type WaveFile } from '../../src/wave/wave-file.js'
import { createWave } from '../../src/wave/wave-writer.js'
import type { Material } from './material.js'
import { timed } from './timed.js'

/*
 * The floor: what no design can leave out that measures eight recordings and makes nine stems of them, each piece of work alone, on the same
 * files, with the kernels that `render` uses. Reading is counted once; whatever else needs sound has it in memory already.
 */

const RATE = 48000
const BLOCK = 32768
/** The reference stays in place, all others are moved by a fraction. */
const MOVED = 7
const STEMS = 9
const WINDOW = 8192

/** Processor seconds of a piece of work. */
type Piece = readonly [name: string, cost: () => number]

const spent = (work: () => void): number => {
  const before = process.cpuUsage()
  work()
  const { user, system } = process.cpuUsage(before)
  return (user + system) / 1e6
}

const reading = (file: string, action: (wave: WaveFile) => void): void => {
  const wave = openWave(file)
  action(wave)
  wave.close()
}

/** Every block of a recording, with so much of what comes next: what is read is not counted. */
const working = (file: string, more: number, action: (block: Float64Array, wave: WaveFile) => void): number =>
  inArena(() => {
    let seconds = 0
    const block = float64(BLOCK + more)
    reading(file, wave => {
      for (let at = 0; at < wave.facts.frames; at += BLOCK) {
        wave.read(at, [block])
        seconds += spent(() => {
          action(block, wave)
        })
      }
    })
    return seconds
  })

const total = (count: number, cost: (index: number) => number): number =>
  Array.from({ length: count }, (_, index) => cost(index)).reduce((sum, seconds) => sum + seconds, 0)

const meters = (files: readonly string[], count: number): number =>
  total(count, index => {
    const loudness = fastLoudness(RATE, 1)
    const truePeak = new TruePeakMeter(RATE, 1)
    return working(files[index % files.length]!, 0, block => {
      loudness.push([block])
      truePeak.push([block])
    })
  })

const pieces = ({ sources, folder }: Material): readonly Piece[] => [
  ['start of Node', () => timed(process.execPath, ['-e', '0']).processorSeconds],
  [
    `reading and decoding the ${sources.length} recordings, once`,
    () =>
      inArena(() => {
        const block = float64(BLOCK)
        return spent(() => {
          for (const file of sources) {
            reading(file, wave => {
              for (let at = 0; at < wave.facts.frames; at += BLOCK) wave.read(at, [block])
            })
          }
        })
      }),
  ],
  [
    'SHA-256 of the recordings, for the lock',
    () =>
      spent(() => {
        for (const file of sources) sha256OfFile(file)
      }),
  ],
  ['loudness and true peak of the recordings', () => meters(sources, sources.length)],
  ['spectra of the recordings and of all pairs, one pass', () => spectraOf(sources)],
  [
    `the fractional filter over the ${MOVED} that are moved`,
    () =>
      total(MOVED, index => {
        const kernel = designDelay(0.1 + index / 10, RATE)
        const output = float64(BLOCK)
        return working(sources[index + 1]!, 2 * kernel.halfLength, block => {
          applyDelay(kernel, block, output)
        })
      }),
  ],
  [`loudness and true peak of the ${STEMS} stems`, () => meters(sources, STEMS)],
  [
    `dither, 24-bit words, SHA-256 and writing of the ${STEMS} stems`,
    () => total(STEMS, index => written(sources[index % sources.length]!, path.join(folder, 'floor.wav'))),
  ],
]

const spectraOf = (files: readonly string[]): number =>
  inArena(() => {
    const spectra = new CrossSpectra(files.length, WINDOW)
    const blocks = files.map(() => float64(BLOCK + WINDOW))
    const waves = files.map(file => openWave(file))
    let seconds = 0
    for (let at = 0; at < waves[0]!.facts.frames; at += BLOCK) {
      waves.forEach((wave, w) => {
        wave.read(at, [blocks[w]!])
      })
      seconds += spent(() => {
        for (let start = 0; start < BLOCK; start += WINDOW / 2) spectra.add(blocks, start)
      })
    }
    for (const wave of waves) wave.close()
    return seconds
  })

const written = (from: string, to: string): number => {
  const quantiser = new TpdfQuantiser(24, 1, to)
  let writer: ReturnType<typeof createWave> | null = null
  let left = 0
  const seconds = working(from, 0, (block, { facts: { frames } }) => {
    writer ??= createWave({
      path: to,
      sampleRateHz: RATE,
      channels: 1,
      frames,
      depth: 24,
      metadata: { description: '', originator: 'Sumwell', stampSamples: null, codingHistory: [] },
    })
    left = left === 0 ? frames : left
    const count = Math.min(BLOCK, left)
    left -= count
    quantiser.quantise([block])
    writer.write([block], count)
    if (left === 0) writer.commit()
  })
  rmSync(to)
  return seconds
}

/** Rows of a table: processor seconds of each piece, the least of so many rounds, and their sum, also in times of `copySeconds`. */
export const floor = (
  song: Material,
  rounds: number,
  copySeconds: number,
): readonly (readonly string[])[] => {
  const costs = pieces(song).map(
    ([name, cost]) => [name, Math.min(...Array.from({ length: rounds }, cost))] as const,
  )
  const all = costs.reduce((sum, [, seconds]) => sum + seconds, 0)
  return [...costs, ['together', all] as const].map(([name, seconds]) => [
    name,
    seconds.toFixed(2),
    (seconds / copySeconds).toFixed(1),
  ])
}
