import { measureTraces } from '../src/measure/group/measure-traces.js'
import { solveLags } from '../src/measure/group/solve.js'
import { inPlace } from '../test/corpus/in-place.js'
import { falling, lowBand, noisePair } from '../test/corpus/noise-pair.js'

/** What many trials of one kind came to. */
export interface Exactness {
  readonly trials: number
  /** Misses of more than half a millisecond, left out of the rest. */
  readonly outliers: number
  /** Rms error over the bound. */
  readonly ratio: number
  readonly bias: number
  /** Standard deviation of error / stated uncertainty, and the part beyond 3.3. */
  readonly stated: number
  readonly beyond: number
}

export const measureNoise = async (
  trials: number,
  seconds: number,
  snrDb: number,
  shape: 'white' | 'falling' | 'band',
  seed = 'bench',
): Promise<Exactness> => {
  const frames = seconds * 48000
  let square = 0
  let sum = 0
  let statedSquare = 0
  let beyond = 0
  let outliers = 0
  for (let trial = 0; trial < trials; trial++) {
    const gain = shape === 'falling' ? falling : shape === 'band' ? lowBand : null
    const pair = noisePair(
      `${seed} ${shape} ${seconds} ${snrDb} ${trial}`,
      frames,
      snrDb,
      gain === null ? undefined : { gain, lagRange: 1900 },
    )
    const member = (name: string) => ({ name, channels: 1, frames, startFrame: 0 })
    const measured = await measureTraces(
      {
        sampleRateHz: 48000,
        members: [member('a'), member('b')],
        reference: 0,
        searchSeconds: 0.04,
        passage: null,
      },
      inPlace([[pair.reference], [pair.source]]),
    )
    const solved = solveLags(measured)
    const error = (solved.lagSamples[1] ?? Number.POSITIVE_INFINITY) - pair.lagSamples
    if (!(Math.abs(error) < 24)) {
      outliers++
      continue
    }
    const ratio = error / pair.boundSamples
    square += ratio * ratio
    sum += ratio
    const stated = error / solved.uncertaintySamples[1]!
    statedSquare += stated * stated
    if (Math.abs(stated) > 3.3) beyond++
  }
  const counted = trials - outliers
  return {
    trials,
    outliers,
    ratio: Math.sqrt(square / counted),
    bias: sum / counted,
    stated: Math.sqrt(statedSquare / counted),
    beyond: beyond / counted,
  }
}

const TRIALS = Number(process.env['TRIALS'] ?? 4000)

/** Table: rms error against the Cramér–Rao bound, white and coloured. */
export const run = async (): Promise<string> => {
  const rows = [
    '| signal | SNR dB | length s | trials | rms / bound | s.e. | bias / bound | error / stated | beyond 3.3 | outliers |',
    '|---|---|---|---|---|---|---|---|---|---|',
  ]
  for (const shape of ['white', 'falling', 'band'] as const)
    for (const seconds of [1, 10])
      for (const snrDb of [20, 10, 0]) {
        const trials = Math.max(20, Math.round(seconds === 1 ? TRIALS : TRIALS / 4))
        const e = await measureNoise(trials, seconds, snrDb, shape)
        rows.push(
          `| ${shape} | ${snrDb} | ${seconds} | ${trials} | ${e.ratio.toFixed(3)} | ${(1 / Math.sqrt(2 * trials)).toFixed(3)} | ${e.bias.toFixed(3)} | ${e.stated.toFixed(2)} | ${(100 * e.beyond).toFixed(2)} % | ${e.outliers} |`,
        )
        process.stderr.write(`${rows[rows.length - 1]}\n`)
      }
  return rows.join('\n')
}
