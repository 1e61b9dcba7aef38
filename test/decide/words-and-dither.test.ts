import { describe, expect, test } from 'vitest'
import { blend, file, group, planOf, stemOf } from './setting/song.js'

const depthWith = async (...sources: Parameters<typeof file>[]) =>
  (
    await planOf([
      group(
        'g',
        sources.map(args => file(...args)),
      ),
    ])
  ).stems[0]?.depth

describe('depth', () => {
  test('the deepest integer source, at least 24; floats only where asked', async () => {
    expect(await depthWith(['a', { bitDepth: 16 }])).toBe(24)
    expect(await depthWith(['a', { bitDepth: 24 }], ['b', { bitDepth: 16 }])).toBe(24)
    expect(await depthWith(['a', { bitDepth: 24 }], ['b', { bitDepth: 32 }])).toBe(32)
    expect(await depthWith(['a', { bitDepth: 32 }, { facts: { sampleFormat: 'float' } }])).toBe(24)
    expect((await planOf([group('g', [file('a')])], { depth: 16 })).stems[0]?.depth).toBe(16)
    expect((await planOf([group('g', [file('a')])], { depth: '32f' })).stems[0]?.depth).toBe('32f')
  })
})

describe('dither is owed where arithmetic is followed by a shorter word', () => {
  const owed = async (source: ReturnType<typeof file>, deliver: Parameters<typeof planOf>[1] = {}) => {
    const plan = await planOf([group('g', [file('ref'), source])], deliver)
    return stemOf(plan, `g_${source.source.name}`).dither
  }

  test.each([
    ['as it is', false, file('a'), {}],
    ['whole move', false, file('a', { lagSamples: 5 }), {}],
    ['whole move, inverted', false, file('a', { lagSamples: 5, polarity: 'inverted' }), {}],
    ['fractional move', true, file('a', { lagSamples: 5.5 }), {}],
    ['fractional move into floats', false, file('a', { lagSamples: 5.5 }), { depth: '32f' }],
    ['16 bit into 24', false, file('a', { bitDepth: 16 }), {}],
    ['24 bit into 16', true, file('a'), { depth: 16 }],
    ['16 bit into 16', false, file('a', { bitDepth: 16 }), { depth: 16 }],
    [
      'floats into 24',
      true,
      file('a', { bitDepth: 32 }, { facts: { sampleFormat: 'float' } }),
      { depth: 24 },
    ],
    [
      'mean of two 24-bit channels into 24',
      true,
      file('a', {}, { selection: { kind: 'mean' }, facts: { channels: 2 } }),
      {},
    ],
    [
      'mean of two 16-bit channels into 24',
      false,
      file('a', { bitDepth: 16 }, { selection: { kind: 'mean' }, facts: { channels: 2 } }),
      {},
    ],
    [
      'mean of three 16-bit channels into 24',
      true,
      file('a', { bitDepth: 16 }, { selection: { kind: 'mean' }, facts: { channels: 3 } }),
      {},
    ],
  ] as const)('%s: %s', async (_name, expected, source, deliver) => {
    expect(await owed(source, deliver)).toBe(expected)
  })

  test('a plain sum at unit gain is exact, a share is not', async () => {
    const quiet = { truePeakDbtp: -20, samplePeakDbfs: -20 }
    const blends = [
      blend('sum', { ref: '0 dB', a: '0 dB' }, { match: 'none' }),
      blend('shares', { ref: 50, a: 50 }, { match: 'none' }),
    ]
    const plan = await planOf([group('g', [file('ref', quiet), file('a', quiet)], { blends })])
    expect(stemOf(plan, 'sum').dither).toBe(false)
    expect(stemOf(plan, 'shares').dither).toBe(true)
  })
})

describe('seed', () => {
  const seedOf = async (sha256: string, folder = '/stems/a', lagSamples = 0.5) => {
    const plan = await planOf([group('g', [file('ref'), file('a', { sha256, lagSamples })])], { folder })
    return [stemOf(plan, 'g_ref').ditherSeed, stemOf(plan, 'g_a').ditherSeed]
  }

  test('comes from the stem and the contents of its inputs, and from nothing else', async () => {
    const [reference, seed] = await seedOf('1'.repeat(64))
    expect(seed).toMatch(/^[0-9a-f]{64}$/)
    expect(reference).not.toBe(seed)
    expect(await seedOf('1'.repeat(64), '/elsewhere', 7.25)).toEqual([reference, seed])
    expect((await seedOf('2'.repeat(64)))[1]).not.toBe(seed)
  })
})
