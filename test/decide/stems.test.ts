import { describe, expect, test } from 'vitest'
import { SumwellError } from '../../src/terms/fault.js'
import { blend, file, group, inner, partOf, planOf, stemOf } from './setting/song.js'

describe('which stems there are', () => {
  const groups = [
    group('upright-bass', [file('piezo'), file('bridge')], {
      blends: [blend('bass-roomy', { piezo: 50, bridge: 50 })],
    }),
    group('snare', [file('top'), file('bottom')]),
  ]
  const files = async (deliver: Parameters<typeof planOf>[1]) =>
    (await planOf(groups, deliver)).stems.map(stem => stem.fileName)

  test('all: blends and single sources, group by group, under clean names', async () => {
    expect(await files({})).toEqual([
      'lantern_street_bass_roomy.wav',
      'lantern_street_upright_bass_piezo.wav',
      'lantern_street_upright_bass_bridge.wav',
      'lantern_street_snare_top.wav',
      'lantern_street_snare_bottom.wav',
    ])
  })

  test('none: blends only; by name: those', async () => {
    expect(await files({ stems: 'none' })).toEqual(['lantern_street_bass_roomy.wav'])
    expect(await files({ stems: [{ group: 'snare', source: 'bottom' }] })).toEqual([
      'lantern_street_bass_roomy.wav',
      'lantern_street_snare_bottom.wav',
    ])
  })

  test('the name template, and the folder', async () => {
    const plan = await planOf(groups, { nameTemplate: '{take} {group} {stem}', stems: 'none' })
    expect(plan.stems[0]).toMatchObject({
      fileName: '4_upright_bass_bass_roomy.wav',
      file: '/stems/lantern-street-take4/4_upright_bass_bass_roomy.wav',
    })
  })

  test('a group that is a source is delivered by its files, or as one where it is named', async () => {
    const kick = group('kick', [file('in'), file('out')])
    const kit = group('kit', [file('top'), inner('kick', 'kick')])
    const names = async (deliver: Parameters<typeof planOf>[1]) =>
      (await planOf([kick, kit], deliver)).stems.map(stem => stem.name)
    expect(await names({})).toEqual(['kick_in', 'kick_out', 'kit_top'])
    const plan = await planOf([kick, kit], { stems: [{ group: 'kit', source: 'kick' }] })
    expect(plan.stems.map(stem => [stem.name, stem.kind])).toEqual([['kit_kick', 'blend']])
    expect(stemOf(plan, 'kit_kick').parts.map(part => part.gain)).toEqual([0.5, 0.5])
  })
})

describe('channels', () => {
  const pair = file('pair', { channels: 2 })
  const spot = file('spot', { lagSamples: 3 })

  test('a blend is as wide as its widest part', async () => {
    const plan = await planOf([
      group('g', [pair, spot], {
        blends: [blend('wide', { pair: 50, spot: 50 }), blend('narrow', { spot: 100 })],
      }),
    ])
    expect(plan.stems.map(stem => [stem.name, stem.channels])).toEqual([
      ['wide', 2],
      ['narrow', 1],
      ['g_pair', 2],
      ['g_spot', 1],
    ])
    // dual mono counts 3.01 LU more than its file
    expect(partOf(plan, 'wide', 'g/spot').matchGainDb).toBeCloseTo(-3.0103, 4)
    expect(partOf(plan, 'narrow', 'g/spot').matchGainDb).toBeCloseTo(0, 12)
  })

  test('one channel of a file, or the mean of all', async () => {
    const picked = file('left', {}, { selection: { kind: 'pick', index: 0 }, facts: { channels: 2 } })
    const mean = file('sum', {}, { selection: { kind: 'mean' }, facts: { channels: 2 } })
    const plan = await planOf([group('g', [picked, mean])])
    expect(plan.stems.map(stem => stem.channels)).toEqual([1, 1])
  })

  test('parts that cannot be laid on each other are refused', async () => {
    const six = file('surround', { channels: 6 })
    const refused = planOf([group('g', [pair, six], { blends: [blend('all', { pair: 50, surround: 50 })] })])
    await expect(refused).rejects.toThrow(SumwellError)
    await expect(refused).rejects.toMatchObject({ faults: [{ code: 'RECIPE_CHANNEL' }] })
  })
})
