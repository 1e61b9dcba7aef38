import { describe, expect, test } from 'vitest'
import { matchGainDb } from '../../src/decide/match.js'
import { stepsDownDb } from '../../src/decide/steps-down.js'
import { blend, codesOf, file, group, inner, partOf, planOf, RATE, stemOf, surveyOf } from './setting/song.js'

const gain = (db: number): number => 10 ** (db / 20)

describe('match and shares', () => {
  const piezo = file('piezo', { loudnessLufs: -20, rmsDbfs: -24 })
  const bridge = file('bridge', { loudnessLufs: -26.5, rmsDbfs: -27 })

  test('shares come after everybody was brought to the level of the reference', async () => {
    const plan = await planOf([
      group('bass', [piezo, bridge], { blends: [blend('bass', { piezo: 55, bridge: 45 })] }),
    ])
    expect(partOf(plan, 'bass', 'bass/piezo')).toMatchObject({
      gain: 0.55,
      matchGainDb: 0,
      weightShown: '55 %',
    })
    const part = partOf(plan, 'bass', 'bass/bridge')
    expect(part.matchGainDb).toBeCloseTo(6.5, 12)
    expect(part.gain).toBeCloseTo(0.45 * gain(6.5), 12)
  })

  test('rms, and none', async () => {
    const blends = [
      blend('by-rms', { piezo: 55, bridge: 45 }, { match: 'rms' }),
      blend('plain', { piezo: '0 dB', bridge: '-9 dB' }, { match: 'none' }),
    ]
    const plan = await planOf([group('bass', [piezo, bridge], { blends })])
    expect(partOf(plan, 'by-rms', 'bass/bridge').gain).toBeCloseTo(0.45 * gain(3), 12)
    expect(partOf(plan, 'plain', 'bass/piezo').gain).toBe(1)
    expect(partOf(plan, 'plain', 'bass/bridge')).toMatchObject({ matchGainDb: 0, weightShown: '−9.0 dB' })
    expect(partOf(plan, 'plain', 'bass/bridge').gain).toBeCloseTo(gain(-9), 12)
  })

  test('rms takes the place of loudness where there is none, or for less than 400 ms', () => {
    const part = (loudnessLufs: number | null, rmsDbfs: number | null, frames = RATE, channels = 1) => ({
      measured: { loudnessLufs, rmsDbfs, frames },
      sampleRateHz: RATE,
      channels,
    })
    const reference = part(-20, -24)
    expect(matchGainDb('loudness', part(null, -30), reference, 1)).toBe(6)
    expect(matchGainDb('loudness', part(-10, -30, 19199), reference, 1)).toBe(6)
    expect(matchGainDb('loudness', part(-10, -30, 19200), reference, 1)).toBe(-10)
    expect(matchGainDb('loudness', part(null, null), reference, 1)).toBe(0)
    expect(matchGainDb('none', part(-10, -10), reference, 1)).toBe(0)
    // a mono part sounds on both sides of a stereo blend: it counts 3.01 LU louder than its file measures
    expect(matchGainDb('loudness', part(-20, -24), part(-20, -24, RATE, 2), 2)).toBeCloseTo(-3.0103, 4)
    expect(matchGainDb('loudness', part(-20, -24), reference, 2)).toBeCloseTo(0, 12)
  })

  test('gains carry the sign of the polarity; as recorded they do not', async () => {
    const turned = file('room', { lagSamples: 10, polarity: 'inverted' })
    const blends = [
      blend('mix', { piezo: 50, room: 50 }),
      blend('raw', { piezo: 50, room: 50 }, { aligned: false }),
    ]
    const plan = await planOf([group('bass', [piezo, turned], { blends })])
    expect(partOf(plan, 'mix', 'bass/room')).toMatchObject({ gain: -0.5, recordedGain: 0.5, atSamples: -10 })
    expect(partOf(plan, 'raw', 'bass/room')).toMatchObject({ gain: 0.5, recordedGain: 0.5, atSamples: 0 })
    expect(stemOf(plan, 'raw').aligned).toBe(false)
  })
})

describe('groups in groups', () => {
  const kick = (blends: Parameters<typeof group>[2]) =>
    group(
      'kick',
      [
        file('in', { loudnessLufs: -20 }),
        file('out', { loudnessLufs: -23, lagSamples: 30, polarity: 'inverted' }),
      ],
      blends,
    )
  const overhead = file('overhead', { loudnessLufs: -18 })
  const kit = group('kit', [overhead, inner('kick', 'kick', { lagSamples: -200, polarity: 'inverted' })], {
    blends: [blend('kit', { overhead: 60, kick: 40 })],
  })

  test('a part that names a group means its first blend: gains multiply, shifts add, polarities multiply', async () => {
    const plan = await planOf([kick({ blends: [blend('kick', { in: 70, out: 30 })] }), kit])
    // the group is as loud as its reference: -20 against -18 is +2 dB; inside, `out` gets +3 dB
    expect(stemOf(plan, 'kit').parts.map(part => part.key)).toEqual(['kit/overhead', 'kick/in', 'kick/out'])
    expect(partOf(plan, 'kit', 'kick/in')).toMatchObject({ atSamples: 200, weightShown: '40 % × 70 %' })
    expect(partOf(plan, 'kit', 'kick/in').gain).toBeCloseTo(-0.4 * 0.7 * gain(2), 12)
    expect(partOf(plan, 'kit', 'kick/out').gain).toBeCloseTo(0.4 * 0.3 * gain(2) * gain(3), 12)
    expect(partOf(plan, 'kit', 'kick/out')).toMatchObject({ atSamples: 170, recordedAtSamples: 0 })
    // its own blend moves with the kit as well
    expect(partOf(plan, 'kick', 'kick/in').atSamples).toBe(200)
  })

  test('without a blend: all its sources at equal shares', async () => {
    const plan = await planOf([kick({}), kit])
    expect(partOf(plan, 'kit', 'kick/in').gain).toBeCloseTo(-0.4 * 0.5 * gain(2), 12)
    expect(partOf(plan, 'kit', 'kick/out').gain).toBeCloseTo(0.4 * 0.5 * gain(2) * gain(3), 12)
  })

  test('a group whose blend is as recorded inside still moves as one', async () => {
    const raw = blend('kick', { in: 70, out: 30 }, { aligned: false })
    const plan = await planOf([kick({ blends: [raw] }), kit])
    expect(partOf(plan, 'kit', 'kick/in').atSamples).toBe(200)
    expect(partOf(plan, 'kit', 'kick/out').atSamples).toBe(200)
    expect(partOf(plan, 'kit', 'kick/out').gain).toBeLessThan(0)
    expect(partOf(plan, 'kick', 'kick/out').atSamples).toBe(0)
  })
})

describe('ceiling', () => {
  test('steps of half a dB, up to the next one', () => {
    expect(stepsDownDb(-1.2, -1)).toBe(0)
    expect(stepsDownDb(-1, -1)).toBe(0)
    expect(stepsDownDb(-0.99, -1)).toBe(0.5)
    expect(stepsDownDb(-0.5, -1)).toBe(0.5)
    expect(stepsDownDb(1.01, -1)).toBe(2.5)
    expect(stepsDownDb(Number.NEGATIVE_INFINITY, -1)).toBe(0)
  })

  const loud = { truePeakDbtp: -0.5, samplePeakDbfs: -0.6 }
  const groups = [
    group('bass', [file('a', loud), file('b', loud)], {
      blends: [blend('mix', { a: '0 dB', b: '0 dB' }, { match: 'none' })],
    }),
    group('quiet', [file('c', { truePeakDbtp: -30 })], { blends: [blend('soft', { c: 100 })] }),
  ]

  test('the bound settles it: the audio is not asked', async () => {
    const survey = surveyOf()
    const quiet = { truePeakDbtp: -7.8, samplePeakDbfs: -8 }
    const plan = await planOf(
      [
        group('bass', [file('a', quiet), file('b', quiet)], {
          blends: [blend('mix', { a: '0 dB', b: '0 dB' }, { match: 'none' })],
        }),
      ],
      {},
      survey,
    )
    expect(plan.turnDownDb).toBe(0)
    expect(survey.asked).toEqual([])
  })

  test('all blends are turned down alike, single sources keep their level', async () => {
    const survey = surveyOf({ 'lantern_street_mix.wav': { samplePeak: 1.2, truePeak: gain(2.3) } })
    const plan = await planOf(groups, {}, survey)
    expect(survey.asked).toEqual(['lantern_street_mix.wav']) // the other blend cannot pass the ceiling
    expect(plan.turnDownDb).toBe(3.5)
    expect(partOf(plan, 'mix', 'bass/a').gain).toBeCloseTo(gain(-3.5), 12)
    expect(partOf(plan, 'mix', 'bass/a').recordedGain).toBeCloseTo(gain(-3.5), 12)
    expect(partOf(plan, 'soft', 'quiet/c').gain).toBeCloseTo(gain(-3.5), 12)
    expect(partOf(plan, 'bass_a', 'bass/a').gain).toBe(1)
    expect(codesOf(plan)).toEqual(['CEILING'])
    expect(plan.warnings[0]?.message).toContain('turned down by 3.5 dB: mix would have reached +2.3 dBTP')
  })

  test('a doubtful blend that fits after all is left alone', async () => {
    const survey = surveyOf({ 'lantern_street_mix.wav': { samplePeak: 0.8, truePeak: 0.85 } })
    const plan = await planOf(groups, {}, survey)
    expect(plan.turnDownDb).toBe(0)
    expect(plan.warnings).toEqual([])
  })

  test('an integer word ends at full scale whatever the ceiling; floats go to the ceiling', async () => {
    const survey = surveyOf({ 'lantern_street_mix.wav': { samplePeak: 1.2, truePeak: gain(2.3) } })
    expect((await planOf(groups, { ceilingDbtp: 6 }, survey)).turnDownDb).toBe(2.5)
    expect((await planOf(groups, { ceilingDbtp: 6, depth: '32f' }, survey)).turnDownDb).toBe(0)
  })
})

describe('single sources above full scale', () => {
  const hot = { samplePeakDbfs: 4.1, truePeakDbtp: 4.2, bitDepth: 32 }
  const floats = { facts: { sampleFormat: 'float' as const } }
  const peaks = surveyOf({ 'lantern_street_g_hot.wav': { samplePeak: gain(4.1), truePeak: gain(4.2) } })

  test('are turned down to fit into an integer word, and told', async () => {
    const plan = await planOf([group('g', [file('hot', hot, floats)])], {}, peaks)
    expect(partOf(plan, 'g_hot', 'g/hot').gain).toBeCloseTo(gain(-4.5), 12)
    expect(plan.warnings.map(({ code, source }) => [code, source])).toEqual([['CLIPPED_STEM', 'hot']])
  })

  test('keep their level in 32f', async () => {
    const plan = await planOf([group('g', [file('hot', hot, floats)])], { depth: '32f' }, peaks)
    expect(partOf(plan, 'g_hot', 'g/hot').gain).toBe(1)
    expect(plan.warnings).toEqual([])
  })

  test('an integer source is looked at where a filter could lift it over full scale', async () => {
    const clipped = { samplePeakDbfs: 0, truePeakDbtp: 0.8 }
    const moved = [group('g', [file('ref'), file('hot', { ...clipped, lagSamples: 0.5 })])]
    const survey = surveyOf({ 'lantern_street_g_hot.wav': { samplePeak: gain(0.3), truePeak: gain(0.8) } })
    const plan = await planOf(moved, {}, survey)
    expect(partOf(plan, 'g_hot', 'g/hot').gain).toBeCloseTo(gain(-0.5), 12)
    const copied = surveyOf()
    await planOf([group('g', [file('ref'), file('hot', { ...clipped, lagSamples: 3 })])], {}, copied)
    expect(copied.asked).toEqual(['heads']) // a plain copy keeps its samples
  })
})
