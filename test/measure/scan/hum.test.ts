import { describe, expect, it } from 'vitest'
import { humIn, humWindow } from '../../../src/measure/scan/hum.js'
import { noise, sine } from '../../signal/signals.js'

type Tone = readonly [frequencyHz: number, amplitude: number]

/** Windows of noise with tones that run on from one to the next with gaps between. */
const windows = (
  rate: number,
  short: boolean,
  count: number,
  tones: readonly Tone[],
  { noiseSize = 0.001, decay = 0, name = 'hum' } = {},
): Float64Array[] => {
  const size = humWindow(rate, short)
  return Array.from({ length: count }, (_, w) => {
    const samples = noise(`${name} ${w}`, size, noiseSize)
    for (const [frequency, amplitude] of tones) {
      const tone = sine(frequency, rate, size, { amplitude, start: 3 * w * size })
      for (let i = 0; i < size; i++) samples[i] = samples[i]! + tone[i]! * Math.exp((-decay * i) / rate)
    }
    return samples
  })
}

const rmsDb = (tones: readonly Tone[]): number =>
  10 * Math.log10(tones.reduce((sum, [, amplitude]) => sum + (amplitude * amplitude) / 2, 0))

const series = (mains: number): readonly Tone[] => [
  [mains, 0.001],
  [2 * mains, 0.0007],
  [3 * mains, 0.0005],
]

const settings = [
  [44100, false],
  [48000, true],
  [8000, true],
] as const

describe('humIn', () => {
  it.each(settings)(
    'tells 50 from 60 Hz and its level within 0.5 dB at %i Hz, short windows: %s',
    (rate, short) => {
      for (const [mains, frequencyHz] of [
        [50, 50],
        [49.9, 50],
        [50.1, 50],
        [60, 60],
        [59.95, 60],
      ] as const) {
        const hum = humIn(windows(rate, short, 4, series(mains)), rate)
        expect(hum?.frequencyHz).toBe(frequencyHz)
        expect(Math.abs(hum!.levelDbfs - rmsDb(series(mains)))).toBeLessThan(0.5)
      }
    },
  )

  it('finds a lone fundamental that stands well out, and 100 Hz hum without it', () => {
    expect(humIn(windows(48000, false, 4, [[50, 0.001]]), 48000)?.frequencyHz).toBe(50)
    expect(humIn(windows(48000, false, 4, [[100, 0.001]]), 48000)?.frequencyHz).toBe(50)
    expect(humIn(windows(48000, false, 4, [[120, 0.001]]), 48000)?.frequencyHz).toBe(60)
  })

  it.each(settings)('takes no note for mains at %i Hz, short windows: %s', (rate, short) => {
    // G1 and B1 stand nearest to 50 and 60 Hz; D4 (293.66) and D5 near 300 and 600.
    for (const note of [48.9994, 61.7354, 46.2493, 293.6648, 58.2705]) {
      const tones = [1, 2, 3, 4].map(k => [k * note, 0.01 / k] as const)
      expect(humIn(windows(rate, short, 6, tones), rate)).toBeNull()
    }
    expect(
      humIn(
        windows(rate, short, 6, [
          [300, 0.01],
          [600, 0.01],
        ]),
        rate,
      ),
    ).toBeNull()
  })

  it('takes nothing that dies away for hum, even at 50 Hz', () => {
    expect(humIn(windows(48000, false, 1, series(50), { decay: 3 }), 48000)).toBeNull()
    const fading = windows(48000, false, 8, []).map((samples, w) => {
      const tone = sine(50, 48000, samples.length, { amplitude: 0.01 * Math.exp(-w) })
      return samples.map((x, i) => x + tone[i]!)
    })
    expect(humIn(fading, 48000)).toBeNull()
  })

  it('finds nothing in noise alone, white or falling, in 300 trials', () => {
    let trials = 0
    for (let trial = 0; trial < 300; trial++) {
      const made = windows(8000, trial % 2 === 0, 1 + (trial % 5), [], { name: `noise ${trial}` })
      if (trial % 3 === 0) {
        for (const samples of made) {
          let low = 0
          for (let i = 0; i < samples.length; i++) {
            low = 0.97 * low + samples[i]!
            samples[i] = low
          }
        }
      }
      expect(humIn(made, 8000)).toBeNull()
      trials++
    }
    expect(trials).toBe(300)
  })

  it('has no answer without windows, for silence, and where noise hides the lines', () => {
    expect(humIn([], 48000)).toBeNull()
    expect(humIn([new Float64Array(32768)], 48000)).toBeNull()
    expect(humIn(windows(48000, false, 4, [[50, 0.001]], { noiseSize: 0.5 }), 48000)).toBeNull()
  })

  it('takes windows of 0.5 to 1 s, or half of that', () => {
    for (const rate of [8000, 44100, 48000, 96000, 192000]) {
      const size = humWindow(rate, false)
      expect(size / rate).toBeGreaterThanOrEqual(0.5)
      expect(size / rate).toBeLessThan(1)
      expect(humWindow(rate, true)).toBe(size / 2)
    }
  })
})
