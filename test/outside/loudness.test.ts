import { spawnSync } from 'node:child_process'
import { describe, expect, it } from 'vitest'
import { type Biquad, kWeighting } from '../../src/signal/k-weighting.js'
import { LoudnessMeter } from '../../src/signal/loudness.js'
import { gainFromDb } from '../../src/terms/units.js'
import { noted } from '../evidence.js'
import { noise, sine } from '../signal/signals.js'

type Part = readonly [seconds: number, levelDbfs: number]

/** Steps of a 1 kHz sine of given peak levels in every channel, one after the other without a break in phase; level null = silence. */
const sineLoudness = (
  rate: number,
  channels: number,
  parts: readonly (readonly [seconds: number, levelDbfs: number | null])[],
  weights?: readonly number[],
): number | null => {
  const meter = new LoudnessMeter(rate, channels, weights)
  // A tenth of a second holds a hundred whole periods.
  const unit = sine(1000, rate, rate / 10)
  for (const [seconds, level] of parts) {
    const gain = level === null ? 0 : gainFromDb(level)
    const block = Array.from({ length: channels }, () => unit.map(x => x * gain))
    let left = Math.round(seconds * rate)
    for (; left > 0; left -= unit.length) meter.push(block, Math.min(left, unit.length))
  }
  return meter.integratedLufs()
}

const loudnessOf = (
  rate: number,
  channels: readonly Float64Array[],
  weights?: readonly number[],
): number | null => {
  const meter = new LoudnessMeter(rate, channels.length, weights)
  meter.push(channels)
  return meter.integratedLufs()
}

const powerAt = ({ b0, b1, b2, a1, a2 }: Biquad, frequency: number, rate: number): number => {
  const w = (2 * Math.PI * frequency) / rate
  const squared = (c0: number, c1: number, c2: number): number => {
    const re = c0 + c1 * Math.cos(w) + c2 * Math.cos(2 * w)
    const im = c1 * Math.sin(w) + c2 * Math.sin(2 * w)
    return re * re + im * im
  }
  return squared(b0, b1, b2) / squared(1, a1, a2)
}

// Minimum requirements of EBU Tech 3341 (v3 2016, v4 2023), table 1, cases 1 to 6: ±0.1 LU. Third number: the exact value of our
// reading of BS.1770 (computed apart from this code), which must hold to 0.001.
describe('EBU Tech 3341, integrated loudness', () => {
  const cases: readonly (readonly [string, readonly Part[], number, number])[] = [
    ['1', [[20, -23]], -23, -22.9933],
    ['2', [[20, -33]], -33, -32.9933],
    [
      '3',
      [
        [10, -36],
        [60, -23],
        [10, -36],
      ],
      -23,
      -23.0139,
    ],
    [
      '4',
      [
        [10, -72],
        [10, -36],
        [60, -23],
        [10, -36],
        [10, -72],
      ],
      -23,
      -23.0139,
    ],
    [
      '5',
      [
        [20, -26],
        [20.1, -20],
        [20, -26],
      ],
      -23,
      -22.9787,
    ],
  ]

  it.each(cases)('case %s at 48 kHz', (_, parts, expected, exact) => {
    const loudness = sineLoudness(48000, 2, parts)!
    expect(Math.abs(loudness - expected)).toBeLessThan(0.1)
    expect(loudness).toBeCloseTo(exact, 3)
    noted('ebu-loudness', loudness - expected)
  })

  it.each([44100, 96000])('case 3 at %i Hz', rate => {
    const off = sineLoudness(rate, 2, cases[2]![1])! + 23
    expect(Math.abs(off)).toBeLessThan(0.1)
    noted('ebu-loudness', off)
  })

  it('case 6: five channels, the surrounds 1.41 times', () => {
    const levels = [-28, -28, -24, -30, -30]
    const channels = levels.map(level => sine(1000, 48000, 2 * 48000, { amplitude: gainFromDb(level) }))
    const loudness = loudnessOf(48000, channels, [1, 1, 1, 1.41, 1.41])!
    expect(Math.abs(loudness + 23)).toBeLessThan(0.1)
    noted('ebu-loudness', loudness + 23)
    expect(loudness).toBeCloseTo(-23.0163, 3)
  })
})

describe('ITU-R BS.1770, annex 1', () => {
  it('reads 0 dBFS at 997 Hz in one channel as -3.01, in a mono file or left in a stereo file', () => {
    const tone = sine(997, 48000, 10 * 48000)
    expect(loudnessOf(48000, [tone])).toBeCloseTo(-3.0103, 3)
    expect(loudnessOf(48000, [tone, new Float64Array(tone.length)])).toBeCloseTo(-3.0103, 3)
  })

  // Computed from the standard's own formulas.
  it('gates silence out and leaves no value where there is none', () => {
    expect(sineLoudness(48000, 1, [[20, -23]])).toBeCloseTo(-26.0036, 3)
    expect(
      sineLoudness(48000, 1, [
        [10, -23],
        [10, null],
      ]),
    ).toBeCloseTo(-26.0692, 3)
    expect(sineLoudness(48000, 1, [[0.39, -23]])).toBeNull()
    expect(sineLoudness(48000, 1, [[20, -68]])).toBeNull()
  })

  // Tables 1 and 2 at 48 kHz; other rates by the bilinear transform undone and done again (computed apart from this code; the
  // analogue corner 1681.974450956 Hz and 38.135470876 Hz).
  const tables = [
    [
      48000, 1.53512485958697, -2.69169618940638, 1.19839281085285, -1.69065929318241, 0.73248077421585,
      -1.99004745483398, 0.99007225036621, 1,
    ],
    [
      44100, 1.53084123005035, -2.65097999515473, 1.16907907992159, -1.66365511325602, 0.71259542807323,
      -1.9891696736298, 0.98919903578704, 0.99956006454251,
    ],
    [
      88200, 1.55751537557965, -2.90562707992634, 1.36133397747221, -1.83091998796233, 0.84414226108785,
      -1.99457751545034, 0.99458487587805, 1.00227196335738,
    ],
    [
      96000, 1.5597142289758, -2.92674157825108, 1.37826120231582, -1.84460946989011, 0.85584332293064,
      -1.99501754472472, 0.99502375904092, 1.00249278898634,
    ],
  ] as const

  it.each(tables)('coefficients at %i Hz', (rate, b0, b1, b2, a1, a2, high1, high2, scale) => {
    const { shelf, highPass } = kWeighting(rate)
    const found = [shelf.b0, shelf.b1, shelf.b2, shelf.a1, shelf.a2, highPass.a1, highPass.a2]
    const expected = [b0, b1, b2, a1, a2, high1, high2]
    for (const [index, value] of found.entries()) expect(value).toBeCloseTo(expected[index]!, 9)
    expect([highPass.b0, highPass.b1, highPass.b2]).toEqual([
      expect.closeTo(scale, 9),
      expect.closeTo(-2 * scale, 9),
      expect.closeTo(scale, 9),
    ])
  })

  // Computed from tables 1 and 2.
  it.each([
    [20, -13.2754],
    [40, -5.5669],
    [60, -2.8992],
    [100, -1.1335],
    [200, -0.2649],
    [500, 0.0425],
    [997, 0.691],
    [1000, 0.6977],
    [2000, 3.0713],
    [4000, 3.968],
    [10000, 4.0419],
    [20000, 4.0431],
  ])('weight at %i Hz is %f dB', (frequency, expected) => {
    const { shelf, highPass } = kWeighting(48000)
    const power = powerAt(shelf, frequency, 48000) * powerAt(highPass, frequency, 48000)
    expect(10 * Math.log10(power)).toBeCloseTo(expected, 4)
  })
})

const ffmpeg = spawnSync('ffmpeg', ['-version']).status === 0

describe.skipIf(!ffmpeg)('another meter: the ebur128 filter of ffmpeg', () => {
  // It tells loudness to three decimals in its frames' metadata; it works in steps of 0.1 LU internally for the gate's histogram.
  it('reads music-like noise bursts alike, mono and stereo, at three rates', () => {
    let compared = 0
    for (const [rate, channels] of [
      [48000, 1],
      [44100, 2],
      [96000, 2],
    ] as const) {
      const seconds = 12
      const signals = Array.from({ length: channels }, (_, c) => {
        const samples = noise(`ebur ${rate} ${c}`, seconds * rate, 0.4)
        let low = 0
        for (let i = 0; i < samples.length; i++) {
          low += 0.15 * (samples[i]! - low)
          const time = i / rate
          samples[i] = low * Math.exp(-2.5 * (time % 1.7)) * (time > 9 ? 0.02 : 1)
        }
        return samples
      })
      const interleaved = new Float64Array(seconds * rate * channels)
      signals.forEach((samples, c) => {
        samples.forEach((x, i) => {
          interleaved[i * channels + c] = x
        })
      })
      const run = spawnSync(
        'ffmpeg',
        [
          '-hide_banner',
          '-f',
          'f64le',
          '-ar',
          `${rate}`,
          '-ac',
          `${channels}`,
          '-i',
          'pipe:0',
          '-af',
          'ebur128=metadata=1,ametadata=print:key=lavfi.r128.I:file=-',
          '-f',
          'null',
          '-',
        ],
        { input: Buffer.from(interleaved.buffer), encoding: 'utf8', maxBuffer: 1 << 26 },
      )
      const theirs = Number(run.stdout.trim().split('\n').at(-1)!.split('=')[1])
      const off = loudnessOf(rate, signals)! - theirs
      expect(Math.abs(off)).toBeLessThan(0.05)
      noted('ffmpeg-loudness', off)
      compared++
    }
    expect(compared).toBe(3)
  })
})
