import path from 'node:path'
import { describe, expect, test } from 'vitest'
import { TruePeakMeter } from '../../src/signal/true-peak.js'
import { sha256OfFile } from '../../src/wave/hash.js'
import { openWave } from '../../src/wave/wave-file.js'
import { blend, group, inner, stemOf } from '../decide/setting/song.js'
import { largestDifference, noise, sine } from '../signal/signals.js'
import { audioBytes, newFolder, onGrid, renderFor, samplesOf, stemFile, take } from './setting/takes.js'

const FRAMES = 40000
const quietEdges = (samples: Float64Array): Float64Array =>
  samples.fill(0, 0, 600).fill(0, samples.length - 600)
const sound = (name: string): Float64Array => onGrid(quietEdges(noise(name, FRAMES, 0.3)), 24)
const moved = (samples: Float64Array, by: number): Float64Array => samples.map((_, i) => samples[i - by] ?? 0)
/** Dither and rounding at 24 bit: never more than one step and a half. */
const STEPS = 1.5 * 2 ** -23

describe('channels', () => {
  test('a mono part goes to both sides at 0 dB, a linked pair keeps its sides', async () => {
    const folder = newFolder()
    const [left, right, spot] = [sound('l'), sound('r'), sound('s')]
    const groups = [
      group(
        'g',
        [take(folder, 'pair', [left, right]), take(folder, 'spot', [spot], { measured: { lagSamples: 24 } })],
        {
          blends: [blend('mix', { pair: '0 dB', spot: '-6 dB' }, { match: 'none' })],
        },
      ),
    ]
    const { plan } = await renderFor(groups, { folder: path.join(folder, 'out'), stems: 'none' })
    const written = samplesOf(stemFile(plan, 'mix'))
    const mono = moved(spot, -24).map(value => value * 10 ** (-6 / 20))
    expect(written).toHaveLength(2)
    expect(
      largestDifference(
        written[0]!,
        left.map((value, i) => value + mono[i]!),
      ),
    ).toBeLessThan(STEPS)
    expect(
      largestDifference(
        written[1]!,
        right.map((value, i) => value + mono[i]!),
      ),
    ).toBeLessThan(STEPS)
  })

  test('a linked set of three moves as one, each channel in its place', async () => {
    const folder = newFolder()
    const channels = [sound('1'), sound('2'), sound('3')]
    const groups = [
      group('g', [
        take(folder, 'ref', [sound('s')]),
        take(folder, 'set', channels, { measured: { lagSamples: 50, polarity: 'inverted' } }),
      ]),
    ]
    const { plan } = await renderFor(groups, { folder: path.join(folder, 'out') })
    const written = samplesOf(stemFile(plan, 'g_set'))
    expect(written).toHaveLength(3)
    for (const [c, samples] of written.entries()) {
      expect(
        largestDifference(
          samples,
          moved(channels[c]!, -50).map(value => -value),
        ),
      ).toBe(0)
    }
  })

  test('one channel of a file, and the mean of all', async () => {
    const folder = newFolder()
    const [left, right] = [sound('l'), sound('r')]
    const groups = [
      group('g', [
        take(folder, 'right', [left, right], { recipe: { selection: { kind: 'pick', index: 1 } } }),
        take(folder, 'mean', [left, right], { recipe: { selection: { kind: 'mean' } } }),
      ]),
    ]
    const { plan } = await renderFor(groups, { folder: path.join(folder, 'out') })
    expect(largestDifference(samplesOf(stemFile(plan, 'g_right'))[0]!, right)).toBe(0)
    const mean = left.map((value, i) => (value + right[i]!) / 2)
    expect(largestDifference(samplesOf(stemFile(plan, 'g_mean'))[0]!, mean)).toBeLessThan(STEPS)
  })
})

describe('groups in groups', () => {
  test('the blend of the outer group holds the inner files, moved by both', async () => {
    const folder = newFolder()
    const [inside, outside, top] = [sound('in'), sound('out'), sound('top')]
    const level = { loudnessLufs: -20 }
    const kick = group(
      'kick',
      [
        take(folder, 'in', [inside], { measured: level }),
        take(folder, 'out', [outside], { measured: { ...level, lagSamples: 30, polarity: 'inverted' } }),
      ],
      { blends: [blend('kick', { in: 75, out: 25 })] },
    )
    const kit = group(
      'kit',
      [
        take(folder, 'top', [top], { measured: level }),
        inner('kick', 'kick', { lagSamples: 12, polarity: 'inverted' }),
      ],
      {
        blends: [blend('kit', { top: 60, kick: 40 })],
      },
    )
    const { plan } = await renderFor([kick, kit], { folder: path.join(folder, 'out'), stems: 'none' })
    const expected = top.map(
      (value, i) => 0.6 * value - 0.4 * 0.75 * (inside[i + 12] ?? 0) + 0.4 * 0.25 * (outside[i + 42] ?? 0),
    )
    expect(largestDifference(samplesOf(stemFile(plan, 'kit'))[0]!, expected)).toBeLessThan(STEPS)
    const own = inside.map((_, i) => -0.75 * (inside[i + 12] ?? 0) + 0.25 * (outside[i + 42] ?? 0))
    expect(largestDifference(samplesOf(stemFile(plan, 'kick'))[0]!, own)).toBeLessThan(STEPS)
  })
})

describe('levels', () => {
  const truePeakOf = (samples: readonly Float64Array[]): number => {
    const meter = new TruePeakMeter(48000, samples.length, 8)
    meter.push(samples)
    return 20 * Math.log10(meter.peak())
  }

  test('no blend passes the ceiling; all are turned down alike, by steps, and no more than needed', async () => {
    const folder = newFolder()
    const tone = quietEdges(sine(1000, 48000, FRAMES, { amplitude: 0.6 }))
    const level = { truePeakDbtp: 20 * Math.log10(0.6) }
    const groups = [
      group(
        'g',
        [
          take(folder, 'a', [tone], { measured: level }),
          take(folder, 'b', [tone], { measured: { ...level, lagSamples: 0.5 } }),
        ],
        {
          blends: [
            blend('hot', { a: '0 dB', b: '0 dB' }, { match: 'none' }),
            blend('cool', { a: '-20 dB', b: '-20 dB' }, { match: 'none' }),
          ],
        },
      ),
    ]
    const { plan, rendered } = await renderFor(groups, { folder: path.join(folder, 'out') })
    const peaks = new Map(plan.stems.map(stem => [stem.name, truePeakOf(samplesOf(stem.file))]))
    expect(plan.turnDownDb % 0.5).toBe(0)
    expect(peaks.get('hot')).toBeLessThanOrEqual(-1)
    expect(peaks.get('hot')).toBeGreaterThan(-1.5 - 0.01)
    expect(peaks.get('cool')).toBeCloseTo(peaks.get('hot')! - 20, 2)
    expect(peaks.get('g_a')).toBeGreaterThan(20 * Math.log10(0.6) - 0.01)
    expect(plan.warnings.map(({ code }) => code)).toEqual(['CEILING'])
    const hot = rendered.find(stem => stem.name === 'hot')!
    expect(hot.truePeakDbtp).toBeCloseTo(peaks.get('hot')!, 1)
  })

  test('floats above full scale are turned down for 24 bit, never clipped', async () => {
    const folder = newFolder()
    const tone = quietEdges(sine(1000, 48000, FRAMES, { amplitude: 1.7 }))
    const hot = take(folder, 'hot', [tone], { depth: '32f', measured: { lagSamples: -2 } })
    const { plan, rendered } = await renderFor([group('g', [take(folder, 'ref', [sound('a')]), hot])], {
      folder: path.join(folder, 'out'),
    })
    const gain = Math.abs(stemOf(plan, 'g_hot').parts[0]!.gain)
    expect(20 * Math.log10(gain)).toBeCloseTo(-5, 9) // 1.7 is +4.6 dB
    const [written] = samplesOf(stemFile(plan, 'g_hot'))
    const expected = Float64Array.from({ length: FRAMES + 2 }, (_, i) => gain * Math.fround(tone[i - 2] ?? 0))
    expect(largestDifference(written!, expected)).toBeLessThan(STEPS)
    expect(plan.warnings.map(({ code }) => code)).toEqual(['CLIPPED_STEM'])
    expect(rendered[1]?.samplePeakDbfs).toBeCloseTo(20 * Math.log10(1.7) - 5, 3)
  })

  test('a filter that lifts a full-scale source above full scale does not clip it', async () => {
    const folder = newFolder()
    // a quarter of the rate at 45 degrees: samples at full scale, 3 dB more between them
    const tone = quietEdges(sine(12000, 48000, FRAMES, { amplitude: 1.4, phase: Math.PI / 4 }))
    const hot = take(folder, 'hot', [tone], { measured: { lagSamples: 0.5, truePeakDbtp: 2.9 } })
    const { plan } = await renderFor([group('g', [take(folder, 'ref', [sound('a')]), hot])], {
      folder: path.join(folder, 'out'),
    })
    const [written] = samplesOf(stemFile(plan, 'g_hot'))
    const peak = Math.max(...written!.map(Math.abs))
    expect(peak).toBeLessThan(1 - 2 ** -23)
    expect(20 * Math.log10(peak)).toBeGreaterThan(-0.5)
  })
})

describe('what the file says', () => {
  test('time stamp, coding history after that of the reference, channels and meters', async () => {
    const folder = newFolder()
    const stampSamples = 2246400000
    const groups = [
      group(
        'g',
        [
          take(folder, 'ref', [sound('a')], { stampSamples }),
          take(folder, 'late', [sound('b')], { stampSamples, measured: { lagSamples: 95.31 } }),
        ],
        { blends: [blend('mix', { ref: 50, late: 50 })] },
      ),
    ]
    const { plan, rendered } = await renderFor(groups, { folder: path.join(folder, 'out') })
    for (const stem of plan.stems) {
      const wave = openWave(stem.file)
      wave.close()
      expect(wave.warnings).toEqual([])
      expect(wave.facts).toMatchObject({
        stampSamples: stampSamples - 96,
        frames: FRAMES + 96,
        bitDepth: 24,
        sampleRateHz: 48000,
      })
      const made = rendered.find(({ file }) => file === stem.file)!
      expect(sha256OfFile(stem.file)).toBe(made.sha256)
      const { version, loudness } = wave.metadata.broadcast!
      expect(version).toBe(2)
      const hundredths = (value: number | null): number | null =>
        value === null ? null : Math.round(value * 100) / 100
      expect(loudness?.integratedLufs).toBe(hundredths(made.loudnessLufs))
      expect(loudness?.truePeakDbtp).toBe(hundredths(made.truePeakDbtp))
      expect(loudness?.momentaryLufs).toBeGreaterThanOrEqual(loudness!.integratedLufs!)
      expect([loudness?.shortTermLufs, loudness?.rangeLu]).toEqual([null, null]) // under 3 s
      expect(wave.metadata.broadcast?.originator).toBe('Sumwell')
      expect(wave.metadata.broadcast?.timeReference).toBe(BigInt(stampSamples - 96))
    }
    const history = (name: string): readonly string[] => {
      const wave = openWave(stemFile(plan, name))
      wave.close()
      return wave.metadata.broadcast?.codingHistory ?? []
    }
    expect(history('mix')).toEqual([
      'A=ANALOGUE,T=ref',
      'A=PCM,F=48000,W=24,M=mono,T=Sumwell aligned blend mix',
    ])
    expect(history('g_late')[0]).toBe('A=ANALOGUE,T=late')
    expect(rendered).toHaveLength(3)
    for (const [i, stem] of rendered.entries()) {
      expect(stem.bytes).toBeGreaterThan(audioBytes(stem.file).length)
      expect(stem.loudnessLufs).toBeLessThan(-10)
      expect(stem.truePeakDbtp).toBeGreaterThanOrEqual(stem.samplePeakDbfs!)
      expect(stem.name).toBe(plan.stems[i]?.name)
    }
  })
})
