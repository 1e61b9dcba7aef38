import { describe, expect, it } from 'vitest'
import { parse } from 'yaml'
import { AT_REST, type Fader } from '../../src/report/desk/faders.js'
import { writtenDown } from '../../src/report/desk/write-down.js'
import { inventedDesk } from './lantern-street/desk.js'

const [, roomy] = inventedDesk.blends

const linesFor = (
  faders: readonly Partial<Fader>[],
  more: { readonly wholeFrames?: boolean; readonly group?: string } = {},
) =>
  parse(
    writtenDown({
      recipeFile: 'recipe.yaml',
      song: 'Lantern Street',
      group: 'upright-bass',
      sampleRateHz: 48000,
      wholeFrames: false,
      blend: roomy!,
      faders: faders.map(fader => ({ ...AT_REST, ...fader })),
      ...more,
    }),
  ) as { groups: Record<string, { sources?: Record<string, unknown>; blends: Record<string, unknown> }> }

describe('writing a blend down', () => {
  it('at rest: the parts in dB and nothing else', () => {
    expect(linesFor([{}, {}, {}])).toEqual({
      groups: {
        'upright-bass': {
          blends: {
            'bass-roomy': { parts: { piezo: '0 dB', bridge: '-2 dB', room: '-9 dB' }, match: 'none' },
          },
        },
      },
    })
  })

  it('a source that was touched says its lag, what it is left late by, and which way round', () => {
    const { groups } = linesFor([{ gainDb: 1.5 }, { laterMs: 0.25 }, { laterMs: -5, turned: true }])
    expect(groups['upright-bass']).toEqual({
      sources: {
        bridge: { lag: '95.31 samples', nudge: '0.25 ms' },
        room: { lag: '368.2 samples', nudge: '-5 ms', polarity: 'as-recorded' },
      },
      blends: { 'bass-roomy': { parts: { piezo: '1.5 dB', bridge: '-2 dB', room: '-9 dB' }, match: 'none' } },
    })
  })

  it('with the reference turned over every source says which way round it is', () => {
    const { groups } = linesFor([{ turned: true }, {}, {}])
    expect(groups['upright-bass']!.sources).toEqual({
      piezo: { polarity: 'inverted' },
      bridge: { polarity: 'as-recorded' },
      room: { polarity: 'inverted' },
    })
  })

  it('a source that is off is no part', () => {
    const { groups } = linesFor([{}, { off: true }, {}])
    expect(groups['upright-bass']!.blends['bass-roomy']).toEqual({
      parts: { piezo: '0 dB', room: '-9 dB' },
      match: 'none',
    })
  })

  it('a group that is moved by whole frames is left whole frames late', () => {
    const { groups } = linesFor([{}, { laterMs: 0.25 }, { laterMs: 0.01 }], { wholeFrames: true })
    expect(groups['upright-bass']!.sources).toEqual({ bridge: { lag: '95.31 samples', nudge: '0.25 ms' } })
  })

  it.each(['no', '1', 'a b', '-x', 'ünï: {', 'Null'])('the name %j comes back as it was', name => {
    expect(Object.keys(linesFor([{}, {}, {}], { group: name }).groups)).toEqual([name])
  })
})
