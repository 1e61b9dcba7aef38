import { Decimator } from '../../src/signal/decimate.js'
import { TpdfQuantiser } from '../../src/signal/dither.js'
import { fastLoudness } from '../../src/signal/fast-loudness.js'
import { RealFft } from '../../src/signal/fft.js'
import { filterFrames } from '../../src/signal/fir.js'
import { designDelay } from '../../src/signal/fractional-delay.js'
import { float64, inArena } from '../../src/signal/kernel/arena.js'
import { LevelMeter } from '../../src/signal/level.js'
import { seededRandom } from '../../src/signal/random.js'
import { ThirdOctaveMeter } from '../../src/signal/third-octave.js'
import { TruePeakMeter } from '../../src/signal/true-peak.js'
import { VariableDelay } from '../../src/signal/variable-delay.js'
import { decoders } from '../../src/wave/decode-samples.js'
import { newSampleBuffer } from '../../src/wave/sample-buffer.js'

/* Prints what five minutes of one channel at 48 kHz cost, processor milliseconds by piece of work, as JSON. */

const RATE = 48000
const BLOCK = 32768
const BLOCKS = Math.round((300 * RATE) / BLOCK)

/** The least of three turns: what other programs do can only add. */
const cost = (work: () => void): number => {
  let least = Number.POSITIVE_INFINITY
  for (let turn = 0; turn < 3; turn++) {
    const start = process.cpuUsage()
    for (let block = 0; block < BLOCKS; block++) work()
    const { user, system } = process.cpuUsage(start)
    least = Math.min(least, (user + system) / 1000)
  }
  return Math.round(least)
}

inArena(() => {
  const random = seededRandom('kernels')
  const input = float64(BLOCK + 128)
  // Bursts that die away, as music does: a steady noise would hide what the true-peak meter passes over.
  for (let i = 0; i < input.length; i++) input[i] = (random() - 0.5) * Math.exp(-(i % 16384) / 3000)
  const output = float64(BLOCK)
  const bytes = newSampleBuffer(3 * BLOCK + 8)
  const fft = new RealFft(16384)
  const spectrum = float64(16386)
  const quantiser = new TpdfQuantiser(24, 1, 'seed')
  const truePeak = new TruePeakMeter(RATE, 1)
  const loudness = fastLoudness(RATE, 1)
  const bands = new ThirdOctaveMeter(RATE)
  const sixteenth = new Decimator(16, { bandFraction: 0.55 })
  const few = float64(BLOCK / 16 + 2)
  const level = new LevelMeter(1)
  const { taps } = designDelay(0.3, RATE)
  const drift = new VariableDelay(RATE, [
    { frame: 0, shift: -40 },
    { frame: 1e8, shift: 900 },
  ])
  const block = [input]
  const costs = {
    'filter of 64 taps': cost(() => {
      filterFrames(taps, input, 0, output, BLOCK)
    }),
    'transforms of 16,384 at half overlap': cost(() => {
      for (let frame = 0; frame < 4; frame++)
        fft.forward(input.subarray((8192 * frame) % 16384, ((8192 * frame) % 16384) + 16384), spectrum)
    }),
    'decoding of 24-bit words': cost(() => {
      decoders.s24(bytes, 0, 1, output, 0, BLOCK)
    }),
    dither: cost(() => {
      quantiser.quantise([output])
    }),
    'true peak': cost(() => {
      truePeak.push(block, BLOCK)
    }),
    loudness: cost(() => {
      loudness.push(block, BLOCK)
    }),
    'levels: extremes, mean, rms': cost(() => {
      level.push(block, BLOCK)
    }),
    'one frame in sixteen': cost(() => {
      sixteenth.push(input, few, BLOCK)
    }),
    'third octaves': cost(() => {
      bands.push(input, BLOCK)
    }),
    'a drifting delay': cost(() => {
      drift.apply(0, input, -16, output.subarray(0, BLOCK - 256))
    }),
  }
  process.stdout.write(JSON.stringify(costs))
})
