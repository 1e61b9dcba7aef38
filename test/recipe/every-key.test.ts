import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, test } from 'vitest'
import { load, MONO } from './recipe-room.js'

interface Schema {
  readonly $ref?: string
  readonly properties?: Readonly<Record<string, Schema>>
  readonly additionalProperties?: Schema | boolean
  readonly items?: Schema
  readonly anyOf?: readonly Schema[]
  readonly oneOf?: readonly Schema[]
  readonly $defs?: Readonly<Record<string, Schema>>
}

const schema = JSON.parse(
  readFileSync(join(import.meta.dirname, '../../schemas/recipe.schema.json'), 'utf8'),
) as Schema

/** Every key that a recipe may have, with its way from the root: `groups.*.align.aim`. */
const keysOf = (
  given: Schema,
  way: readonly string[] = [],
  inside: readonly string[] = [],
): readonly string[] => {
  const name = given.$ref?.split('/').at(-1)
  if (name !== undefined && inside.includes(name)) return []
  const at = name === undefined ? given : schema.$defs![name]!
  const within = name === undefined ? inside : [...inside, name]
  const deeper = (next: Schema, step: readonly string[]) => keysOf(next, [...way, ...step], within)
  return [
    ...Object.entries(at.properties ?? {}).flatMap(([key, next]) => [
      [...way, key].join('.'),
      ...deeper(next, [key]),
    ]),
    ...(typeof at.additionalProperties === 'object' ? deeper(at.additionalProperties, ['*']) : []),
    ...(at.items === undefined ? [] : deeper(at.items, ['[]'])),
    ...[...(at.anyOf ?? []), ...(at.oneOf ?? [])].flatMap(next => deeper(next, [])),
  ]
}

const RECIPE = `recipe: 1
song: Test
take: 4
tempo: 92
temperature: 21 C
groups:
  bass:
    reference: piezo
    sources:
      piezo: { file: a.wav, via: pickup }
      bridge: { file: b.wav, via: mic, distance: 25 cm, channel: left, polarity: inverted, lag: 2.1 ms, nudge: 3 ms }
      whole: { pieces: [c.wav, { file: d.wav, at: 0:20, from: 0:01, to: 0:08, lag: 1 ms, polarity: inverted }], fade: 10 ms }
      kick: { group: kick }
    align: { aim: arrival, search: 40 ms, passage: [0:12-0:20], hold: reference, resolution: fraction }
    blends:
      sum: { parts: { piezo: 55, bridge: 45 }, match: loudness, aligned: true }
  kick: { reference: in, sources: { in: k.wav, out: l.wav } }
  other: { reference: on, sources: { on: o.wav }, align: { follow: nothing } }
deliver: { folder: stems, depth: 24, stems: all, ceiling: -1 dBTP, name: "{song}_{group}_{stem}" }
report: { listen: 0:05-0:15, dated: false }
`

/** Another value for each key, as an exchange in the text of the recipe; what the recipe means must be another then. */
const OTHER: Readonly<Record<string, readonly [from: string, to: string]>> = {
  base: ['recipe: 1', 'recipe: 1\nbase: album.yaml'],
  song: ['song: Test', 'song: Other'],
  take: ['take: 4', 'take: 5'],
  tempo: ['tempo: 92', 'tempo: 93'],
  'time-signature': ['tempo: 92', 'tempo: 92\ntime-signature: 7/8'],
  setup: ['tempo: 92', 'tempo: 92\nsetup: live-room'],
  takes: ['tempo: 92', 'tempo: 92\ntakes: [3, 4]'],
  temperature: ['21 C', '22 C'],
  groups: ['  other: { reference: on, sources: { on: o.wav }, align: { follow: nothing } }\n', ''],
  'groups.*.reference': ['reference: in', 'reference: out'],
  'groups.*.sources': ['out: l.wav }', 'out: l.wav, far: m.wav }'],
  'groups.*.sources.*.file': ['file: a.wav', 'file: e.wav'],
  'groups.*.sources.*.pieces': ['pieces: [c.wav, ', 'pieces: [e.wav, '],
  'groups.*.sources.*.pieces.[].file': ['file: d.wav', 'file: e.wav'],
  'groups.*.sources.*.pieces.[].at': ['at: 0:20', 'at: 0:22'],
  'groups.*.sources.*.pieces.[].from': ['from: 0:01', 'from: 0:02'],
  'groups.*.sources.*.pieces.[].to': ['to: 0:08', 'to: 0:09'],
  'groups.*.sources.*.pieces.[].polarity': ['1 ms, polarity: inverted', '1 ms, polarity: as-recorded'],
  'groups.*.sources.*.pieces.[].lag': ['lag: 1 ms', 'lag: 1.2 ms'],
  'groups.*.sources.*.fade': ['fade: 10 ms', 'fade: 12 ms'],
  'groups.*.sources.*.group': ['group: kick', 'group: other'],
  'groups.*.sources.*.via': ['via: mic', 'via: reamp'],
  'groups.*.sources.*.distance': ['25 cm', '26 cm'],
  'groups.*.sources.*.slate': ['via: pickup', 'via: pickup, slate: s.wav'],
  'groups.*.sources.*.channel': ['channel: left', 'channel: right'],
  'groups.*.sources.*.polarity': ['polarity: inverted', 'polarity: measured'],
  'groups.*.sources.*.lag': ['lag: 2.1 ms', 'lag: 2.2 ms'],
  'groups.*.sources.*.nudge': ['nudge: 3 ms', 'nudge: 4 ms'],
  'groups.*.align': ['search: 40 ms', 'search: 50 ms'],
  'groups.*.align.aim': ['aim: arrival', 'aim: fullness'],
  'groups.*.align.search': ['search: 40 ms', 'search: 41 ms'],
  'groups.*.align.passage': ['0:12-0:20', '0:12-0:21'],
  'groups.*.align.hold': ['hold: reference', 'hold: latest'],
  'groups.*.align.resolution': ['resolution: fraction', 'resolution: sample'],
  'groups.*.align.follow': ['follow: nothing', 'follow: steps'],
  'groups.*.align.slate': ['follow: nothing', 'follow: nothing, slate: true'],
  'groups.*.setup': ['reference: in', 'setup: live-room, reference: in'],
  'groups.*.takes': ['reference: in', 'takes: [3, 4], reference: in'],
  'groups.*.blends': ['sum: {', 'total: {'],
  'groups.*.blends.*.parts': ['piezo: 55', 'piezo: 56'],
  'groups.*.blends.*.match': ['match: loudness', 'match: none'],
  'groups.*.blends.*.aligned': ['aligned: true', 'aligned: false'],
  deliver: ['folder: stems', 'folder: out'],
  'deliver.folder': ['folder: stems', 'folder: else'],
  'deliver.depth': ['depth: 24', 'depth: 32f'],
  'deliver.stems': ['stems: all', 'stems: none'],
  'deliver.ceiling': ['-1 dBTP', '-2 dBTP'],
  'deliver.name': ['{song}_{group}_{stem}', '{song}-{group}-{stem}'],
  report: ['listen: 0:05-0:15', 'listen: 0:05-0:16'],
  'report.listen': ['listen: 0:05-0:15', 'listen: 0:06-0:15'],
  'report.dated': ['dated: false', 'dated: true'],
}

/** The format has one version: another value is a fault. */
const ONLY_ONE = ['recipe']

const meaning = async (text: string): Promise<string> =>
  JSON.stringify(
    await load(text, {
      facts: () => ({ ...MONO, channels: 2 }),
      beside: { 'album.yaml': 'recipe: 1\ngroups: { more: { reference: m, sources: { m: m.wav } } }\n' },
    }),
  ).replace(/sumwell-recipe-\w+/g, '')

test('every key of the format is in the table below, and no other', () => {
  const keys = [...new Set(keysOf(schema))].filter(key => !ONLY_ONE.includes(key))
  expect(Object.keys(OTHER).sort()).toEqual(keys.sort())
  expect(keys.length).toBeGreaterThan(40)
})

describe('another value for a key is another meaning', () => {
  test.each(Object.entries(OTHER))('%s', async (_key, [from, to]) => {
    expect(RECIPE.split(from).length).toBeGreaterThan(1)
    expect(await meaning(RECIPE.replace(from, to))).not.toBe(await meaning(RECIPE))
  })
})

test('the same text has the same meaning', async () => {
  expect(await meaning(RECIPE)).toBe(await meaning(RECIPE))
})
