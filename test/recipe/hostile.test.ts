import fc from 'fast-check'
import { expect, test } from 'vitest'
import { faultsOf } from './recipe-room.js'

/** Texts that end, hang or fool a parser that is used without care. Each is at most 256 KiB. */
const HOSTILE: Readonly<Record<string, string>> = {
  'brackets 900 deep': '['.repeat(900),
  'brackets 900 deep, a second time in this process': '['.repeat(900),
  '260,000 brackets': '['.repeat(260_000),
  'braces 5,000 deep': '{a: '.repeat(5000),
  'block lists 2,000 deep': '- '.repeat(2000),
  'maps 400 deep by indentation': Array.from({ length: 400 }, (_, n) => `${' '.repeat(n)}a:`).join('\n'),
  'keys as keys, 400 deep': '? '.repeat(400),
  '40,000 keys': Array.from({ length: 40_000 }, (_, n) => `k${n}:`).join('\n'),
  'one key 40,000 times': 'a:\n'.repeat(40_000),
  '100,000 anchors': '- &a x\n'.repeat(37_000),
  'aliases that multiply': `a: &a [x, x]\n${'bcdefghij'
    .split('')
    .map((name, n) => `${name}: &${name} [*${'abcdefghij'[n]}, *${'abcdefghij'[n]}]`)
    .join('\n')}\n`,
  '100,000 tags': '- !x y\n'.repeat(37_000),
  'a quote never closed': `song: "${'x'.repeat(200_000)}`,
  'one line of 260,000 characters': `song: ${'x'.repeat(260_000)}`,
  '80,000 faults': `groups: { a: { sources: {${Array.from({ length: 16_000 }, (_, n) => `s${n}: 7`).join(', ')}} } }`,
  '9,000 sources and 9,000 misspelt parts and stems': `groups: { a: { sources: {${Array.from({ length: 9000 }, (_, n) => `s${n}: x`).join(', ')}},\n blends: { b: { parts: {${Array.from({ length: 5000 }, (_, n) => `t${n}: 1`).join(', ')}} } } } }\ndeliver: { stems: [${'sx, '.repeat(5000)}] }`,
  '100,000 documents': '---\n'.repeat(60_000),
  '100,000 directives': '%FOO bar\n'.repeat(29_000),
  'only colons': ':\n'.repeat(100_000),
  'only hyphens': '-\n'.repeat(100_000),
  'control characters': '\u0001'.repeat(100_000),
  'a prototype': 'recipe: 1\n__proto__: { polluted: true }\nconstructor: { prototype: { polluted: true } }\n',
}

test.each(Object.entries(HOSTILE))('%s gives faults, not a crash', async (_name, text) => {
  const found = await faultsOf(text)
  expect(found.length).toBeGreaterThan(0)
  expect(found.every(({ code }) => code.startsWith('RECIPE_'))).toBe(true)
  expect(({} as Record<string, unknown>)['polluted']).toBeUndefined()
})

const GOOD = `recipe: 1
song: Test
take: 4
temperature: 21 C
groups:
  bass:
    reference: piezo
    sources:
      piezo: { file: "a-{take}.wav", via: pickup }
      bridge: { file: b.wav, distance: 25 cm, lag: 2.1 ms, nudge: -3 ms }
      kick: { group: kick }
    align: { search: 40 ms, passage: [0:12-0:20] }
    blends:
      sum: { parts: { piezo: 55, bridge: 45 } }
  kick: { reference: in, sources: { in: k.wav } }
deliver: { folder: "stems/{song}", stems: [bridge], ceiling: -1 dBTP }
`

/** Every fault has to point into the text, whatever the text is. */
const checked = async (text: string): Promise<number> => {
  const found = await faultsOf(text)
  const lines = text.replace(/^\ufeff/, '').split('\n')
  for (const { place, message, code } of found) {
    if (place === null) continue
    expect(code).not.toBe('INTERNAL')
    expect(message).not.toMatch(/undefined|NaN|\[object/)
    expect(place.sourceLine).toBe(lines[place.line - 1]!.replace(/\r$/, ''))
    expect(place.column).toBeGreaterThanOrEqual(1)
    expect(place.column).toBeLessThanOrEqual(Array.from(place.sourceLine).length + 1)
    expect(place.length).toBeGreaterThanOrEqual(1)
  }
  return found.length
}

test('a good recipe with any one piece cut out, doubled or replaced is read or refused with places', async () => {
  expect(await checked(GOOD)).toBe(0)
  let refused = 0
  const pieces = [
    '',
    ':',
    ' ',
    '\n',
    '"',
    '{',
    '[',
    ']',
    '}',
    '- ',
    '&a ',
    '*a',
    '!t ',
    '#',
    '\t',
    '\u{1f3b8}',
    '0',
    'null',
    ',',
    '<<: ',
    '\r',
    '\u0000',
    '~',
    '|',
    '%',
  ]
  const edit = fc.tuple(fc.nat(GOOD.length), fc.nat(12), fc.constantFrom(...pieces), fc.boolean())
  await fc.assert(
    fc.asyncProperty(edit, async ([at, length, piece, twice]) => {
      const cut = GOOD.slice(at, at + length)
      const text = GOOD.slice(0, at) + piece + (twice ? cut + cut : '') + GOOD.slice(at + length)
      if ((await checked(text)) > 0) refused++
    }),
    { seed: 20240607, numRuns: 400 },
  )
  expect(refused).toBeGreaterThan(200)
})

test('arbitrary values in the place of any key are read or refused with places', async () => {
  const leaf = fc.oneof(
    fc.constantFrom(
      'piezo',
      'bass',
      'kick',
      'a.wav',
      '40 ms',
      '-3 dB',
      'measured',
      '0:12-0:20',
      '{song}',
      '../x',
      '',
      'constructor',
      'toString',
    ),
    fc.integer(),
    fc.double({ noNaN: true }),
    fc.boolean(),
    fc.constant(null),
  )
  const key = fc.constantFrom(
    ...[
      'recipe',
      'song',
      'take',
      'groups',
      'sources',
      'reference',
      'blends',
      'parts',
      'align',
      'deliver',
      'stems',
      'file',
    ],
    ...[
      'group',
      'passage',
      'search',
      'lag',
      'channel',
      'base',
      'report',
      'listen',
      'piezo',
      'bass',
      'toString',
      'valueOf',
    ],
  )
  const { value } = fc.letrec(tie => ({
    value: fc.oneof(
      { maxDepth: 6 },
      leaf,
      fc.array(tie('value'), { maxLength: 3 }),
      fc.dictionary(key, tie('value'), { maxKeys: 4 }),
    ),
  }))
  let faults = 0
  await fc.assert(
    fc.asyncProperty(fc.dictionary(key, value, { maxKeys: 5 }), async content => {
      faults += await checked(`${JSON.stringify({ recipe: 1, song: 's', ...content })}\n`)
    }),
    { seed: 20240608, numRuns: 250 },
  )
  expect(faults).toBeGreaterThan(250)
})

test('any text at all is read or refused with places', async () => {
  let runs = 0
  await fc.assert(
    fc.asyncProperty(fc.string({ unit: 'binary', maxLength: 60 }), async text => {
      if (/\p{Surrogate}/u.test(text)) return
      await checked(text)
      runs++
    }),
    { seed: 20240609, numRuns: 200 },
  )
  expect(runs).toBeGreaterThan(150)
})
