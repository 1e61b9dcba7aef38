import type { RecipeFiles } from '../../src/recipe/recipe-files.js'
import type { WaveFacts } from '../../src/recipe/session.js'
import type { FaultCode } from '../../src/terms/fault-codes.js'
import { everythingThere, MONO, type Trial } from './recipe-room.js'

/** A recipe with one fault. The text that the caret must stand under is written between double angle brackets. */
export interface FaultCase extends Trial {
  readonly code: FaultCode
  readonly recipe: string
  readonly nearest?: string
  /** In which file the fault lies, if not in the recipe itself. */
  readonly inFile?: string
}

const group = (inside: string): string => `recipe: 1\nsong: Test\ntake: 4\ngroups:\n  bass:\n${inside}`
const twoSources = '    sources: { piezo: a.wav, bridge: b.wav }\n'
const bass = (rest: string): string => group(`    reference: piezo\n${twoSources}${rest}`)
const blend = (parts: string): string => bass(`    blends:\n      sum: { parts: ${parts} }\n`)
const align = (settings: string): string => bass(`    align: { ${settings} }\n`)
const deliver = (settings: string): string => bass(`deliver: { ${settings} }\n`)
const source = (settings: string): string =>
  group(`    reference: piezo\n    sources:\n      piezo: a.wav\n      bridge: ${settings}\n`)
const stereo = (): WaveFacts => ({ ...MONO, channels: 2 })

const withoutBase: RecipeFiles = {
  ...everythingThere,
  kindOf: path => (path.endsWith('none.yaml') ? 'missing' : everythingThere.kindOf(path)),
}

export const FAULT_CASES: readonly FaultCase[] = [
  // the recipe as a text
  { code: 'RECIPE_EMPTY', recipe: '# nothing but a comment\n' },
  { code: 'RECIPE_EMPTY', recipe: '' },
  { code: 'RECIPE_SYNTAX', recipe: 'recipe: 1\nsong«:»Test\n' },
  { code: 'RECIPE_SYNTAX', recipe: 'recipe: 1\nsong: «"»Test\ngroups: {}\n' },
  { code: 'RECIPE_SYNTAX', recipe: 'recipe: 1\nsong: Test\ngroups: «{»\n  a: {}\n' },
  { code: 'RECIPE_SYNTAX', recipe: 'recipe: 1\nsong: T\ngroups:\n«\t»a: 1\n' },
  { code: 'RECIPE_SYNTAX', recipe: 'recipe: 1\nsong: «@»home\n' },
  { code: 'RECIPE_SYNTAX', recipe: 'recipe: 1\nsong: T\n   «t»ake: 4\n' },
  { code: 'RECIPE_SYNTAX', recipe: 'recipe: 1\nsong: [a«,» , b]\n'.replace('a«,» ,', 'a, «,»') },
  { code: 'RECIPE_SYNTAX', recipe: 'recipe: 1\nsong: a«\u0007»b\n' },
  { code: 'RECIPE_SYNTAX', recipe: 'recipe: 1«\r»song: a\r' },
  { code: 'RECIPE_TOO_DEEP', recipe: `recipe: ${'['.repeat(31)}«[»${'['.repeat(900)}\n` },
  { code: 'RECIPE_SEVERAL_DOCUMENTS', recipe: 'recipe: 1\nsong: a\n«---»\nrecipe: 1\n' },
  { code: 'RECIPE_YAML_VERSION', recipe: '«%YAML 1.1»\n---\nrecipe: 1\nsong: a\n' },
  { code: 'RECIPE_YAML_VERSION', recipe: '«%YAML 1.3»\n---\nrecipe: 1\nsong: a\n' },
  { code: 'RECIPE_ALIAS', recipe: bass('').replace('Test', '«&a» Test') },
  { code: 'RECIPE_ALIAS', recipe: bass('').replace('Test', '«*a»') },
  { code: 'RECIPE_ALIAS', recipe: bass('    align: { «<<»: { aim: arrival } }\n') },
  { code: 'RECIPE_TAG', recipe: bass('').replace('Test', '«!!str» Test') },
  { code: 'RECIPE_TAG', recipe: bass('').replace('Test', '«!e!x» Test') },
  { code: 'RECIPE_KEY', recipe: bass('').replace('bridge', '«12»'), nearest: '"12"' },
  { code: 'RECIPE_KEY', recipe: bass('').replace('bridge', '«true»'), nearest: '"true"' },
  { code: 'RECIPE_KEY', recipe: bass('').replace('bridge', '«__proto__»') },
  { code: 'RECIPE_KEY', recipe: bass('').replace('bridge', '«a/b»'), nearest: 'a-b' },
  { code: 'RECIPE_KEY', recipe: bass('? «[a]»\n: b\n') },
  { code: 'RECIPE_DUPLICATE_KEY', recipe: bass('«song»: Twice\n') },
  // the recipe as a shape
  { code: 'RECIPE_UNKNOWN_KEY', recipe: bass('«tempoo»: 92\n'), nearest: 'tempo' },
  { code: 'RECIPE_UNKNOWN_KEY', recipe: bass('«Temperature»: 21 C\n'), nearest: 'temperature' },
  { code: 'RECIPE_UNKNOWN_KEY', recipe: source('{ «file:b.wav» }'), nearest: 'file: b.wav' },
  {
    code: 'RECIPE_UNKNOWN_KEY',
    recipe: `${source('{ group: kick, «via»: mic }')}  kick: { reference: in, sources: { in: k.wav } }\n`,
  },
  {
    code: 'RECIPE_MISSING_KEY',
    recipe: '«r»ecipe: 1\ngroups: { a: { reference: p, sources: { p: a.wav } } }\n',
  },
  {
    code: 'RECIPE_MISSING_KEY',
    recipe: '«s»ong: a\ngroups: { a: { reference: p, sources: { p: a.wav } } }\n',
  },
  { code: 'RECIPE_MISSING_KEY', recipe: group(twoSources).replace('bass', '«bass»') },
  { code: 'RECIPE_MISSING_KEY', recipe: source('{ via: mic }').replace('bridge', '«bridge»') },
  { code: 'RECIPE_MISSING_KEY', recipe: 'recipe: 1\nsong: a\n«groups»: {}\n' },
  { code: 'RECIPE_TYPE', recipe: bass('tempo: «fast»\n') },
  { code: 'RECIPE_TYPE', recipe: bass('tempo: «92 BPM»\n'), nearest: '92' },
  { code: 'RECIPE_TYPE', recipe: bass('tempo: «1e999»\n') },
  { code: 'RECIPE_TYPE', recipe: bass('tempo: «.inf»\n') },
  { code: 'RECIPE_TYPE', recipe: bass('').replace('reference: piezo', 'reference: «7»'), nearest: '"7"' },
  { code: 'RECIPE_TYPE', recipe: bass('«temperature»:\n') },
  { code: 'RECIPE_TYPE', recipe: '«just a text»\n' },
  { code: 'RECIPE_TYPE', recipe: bass('base: «7»\n') },
  {
    code: 'RECIPE_TYPE',
    recipe: bass('    blends: { sum: { parts: { piezo: 1 }, aligned: «no» } }\n'),
    nearest: 'false',
  },
  { code: 'RECIPE_VALUE', recipe: align('aim: «arival»'), nearest: 'arrival' },
  { code: 'RECIPE_VALUE', recipe: deliver('depth: «"24"»'), nearest: '24' },
  { code: 'RECIPE_VALUE', recipe: deliver('depth: «20»') },
  { code: 'RECIPE_VALUE', recipe: bass('tempo: «2»\n') },
  { code: 'RECIPE_VALUE', recipe: bass('time-signature: «3/5»\n') },
  { code: 'RECIPE_TYPE', recipe: bass('time-signature: «3»\n'), nearest: '"3"' },
  { code: 'RECIPE_VALUE', recipe: blend('{ piezo: «-3» }') },
  { code: 'RECIPE_VALUE', recipe: bass('').replace('recipe: 1', 'recipe: «2»') },
  { code: 'RECIPE_VALUE', recipe: source('{ file: b.wav, lag: «mesured» }'), nearest: 'measured' },
  { code: 'RECIPE_VALUE', recipe: source('{ file: b.wav, channel: «0» }') },
  { code: 'RECIPE_VALUE', recipe: align('search: «11 s»') },
  { code: 'RECIPE_VALUE', recipe: bass('temperature: «99 C»\n') },
  { code: 'RECIPE_VALUE', recipe: source('{ file: b.wav, distance: «2000 m» }') },
  { code: 'RECIPE_VALUE', recipe: source('{ file: b.wav, nudge: «20 s» }') },
  { code: 'RECIPE_VALUE', recipe: deliver('ceiling: «3 dBTP»') },
  { code: 'RECIPE_VALUE', recipe: blend('{ piezo: «90 dB» }') },
  {
    code: 'RECIPE_VALUE',
    recipe: group('    reference: piezo\n    sources: { piezo: { file: a.wav, lag: «2 ms» } }\n'),
  },
  { code: 'RECIPE_UNIT', recipe: align('search: «40»'), nearest: '40 ms' },
  { code: 'RECIPE_UNIT', recipe: align('search: «40 msec»'), nearest: '40 ms' },
  { code: 'RECIPE_UNIT', recipe: align('search: «-3 ms»') },
  { code: 'RECIPE_UNIT', recipe: source('{ file: b.wav, distance: «"0,25 m"» }'), nearest: '0.25 m' },
  { code: 'RECIPE_UNIT', recipe: source('{ file: b.wav, distance: «25 ms» }') },
  { code: 'RECIPE_UNIT', recipe: source('{ file: b.wav, lag: «101» }'), nearest: '101 ms' },
  { code: 'RECIPE_UNIT', recipe: source('{ file: b.wav, nudge: «\u22123 ms» }'), nearest: '-3 ms' },
  { code: 'RECIPE_UNIT', recipe: blend('{ piezo: «-3 db» }'), nearest: '-3 dB' },
  { code: 'RECIPE_UNIT', recipe: deliver('ceiling: «-1 dB»'), nearest: '-1 dBTP' },
  { code: 'RECIPE_UNIT', recipe: bass('temperature: «21»\n'), nearest: '21 C' },
  { code: 'RECIPE_VALUE', recipe: bass('').replace('song: Test', 'song: «"a\\nb"»') },
  { code: 'RECIPE_VALUE', recipe: bass('').replace('song: Test', `song: «${'x'.repeat(201)}»`) },
  { code: 'RECIPE_VALUE', recipe: deliver(`«stems»: [${'piezo, '.repeat(1001)}]`) },
  { code: 'RECIPE_TYPE', recipe: align('«aim»:') },
  { code: 'RECIPE_PASSAGE', recipe: align('passage: [0:01-0:02, «[»x]]') },
  // the recipe as a meaning
  { code: 'RECIPE_BASE', recipe: bass('base: «none.yaml»\n'), files: withoutBase },
  { code: 'RECIPE_BASE', recipe: bass('base: «song.yaml»\n') },
  {
    code: 'RECIPE_BASE',
    recipe: bass('base: a.yaml\n'),
    beside: { 'a.yaml': 'recipe: 1\nbase: «song.yaml»\n' },
    inFile: 'a.yaml',
  },
  {
    code: 'RECIPE_MISSING_KEY',
    recipe: bass('base: a.yaml\n'),
    beside: { 'a.yaml': '«s»ong: x\n' },
    inFile: 'a.yaml',
  },
  {
    code: 'RECIPE_UNIT',
    recipe: bass('base: a.yaml\n'),
    beside: { 'a.yaml': 'recipe: 1\ntemperature: «21»\n' },
    inFile: 'a.yaml',
    nearest: '21 C',
  },
  { code: 'RECIPE_PLACEHOLDER', recipe: bass('').replace('a.wav', '"«{tkae}».wav"'), nearest: '{take}' },
  {
    code: 'RECIPE_PLACEHOLDER',
    recipe: bass('').replace('a.wav', '"«{take}».wav"').replace('take: 4\n', ''),
  },
  { code: 'RECIPE_PLACEHOLDER', recipe: deliver('name: "{stem}«{sing}»"'), nearest: '{song}' },
  { code: 'RECIPE_PLACEHOLDER', recipe: deliver('folder: "out/«{group}»"') },
  {
    code: 'RECIPE_REFERENCE',
    recipe: bass('').replace('reference: piezo', 'reference: «peizo»'),
    nearest: 'piezo',
  },
  { code: 'RECIPE_PART', recipe: blend('{ piezo: 1, «bridg»: 1 }'), nearest: 'bridge' },
  { code: 'RECIPE_BLEND_EMPTY', recipe: blend('{}').replace('parts', '«parts»') },
  { code: 'RECIPE_BLEND_EMPTY', recipe: blend('«{ piezo: 0, bridge: 0 }»') },
  { code: 'RECIPE_SHARES_AND_DB', recipe: blend('{ piezo: 55, bridge: «-2 dB» }') },
  { code: 'RECIPE_SHARES_AND_DB', recipe: blend('{ piezo: 0 dB, bridge: «45» }') },
  {
    code: 'RECIPE_STEM_NAME',
    recipe: bass('    blends:\n      a-b: { parts: { piezo: 1 } }\n      «A b»: { parts: { piezo: 1 } }\n'),
  },
  {
    code: 'RECIPE_STEM_NAME',
    recipe: bass('    blends: { bass_piezo: { parts: { piezo: 1 } } }\n').replace(
      '{ piezo: a',
      '{ «piezo»: a',
    ),
  },
  { code: 'RECIPE_STEM_NAME', recipe: deliver('name: «"{song}"»') },
  { code: 'RECIPE_STEM_NAME', recipe: deliver('folder: "out/{song}"').replace('Test', '«"!"»') },
  { code: 'RECIPE_STEM_UNKNOWN', recipe: deliver('stems: [«bridg»]'), nearest: 'bridge' },
  {
    code: 'RECIPE_STEM_UNKNOWN',
    recipe: `${bass('  other: { reference: piezo, sources: { piezo: c.wav } }\n')}deliver: { stems: [«piezo»] }\n`,
  },
  { code: 'RECIPE_LAG_BEYOND_SEARCH', recipe: source('{ file: b.wav, lag: «41 ms» }') },
  { code: 'RECIPE_LAG_BEYOND_SEARCH', recipe: source('{ file: b.wav, lag: «-1921 samples» }') },
  { code: 'RECIPE_OUTSIDE', recipe: bass('').replace('a.wav', '«../a.wav»') },
  { code: 'RECIPE_OUTSIDE', recipe: bass('').replace('a.wav', '«/etc/a.wav»') },
  { code: 'RECIPE_OUTSIDE', recipe: deliver('folder: «../out»') },
  { code: 'RECIPE_OUTSIDE', recipe: bass('base: «../album.yaml»\n') },
  {
    code: 'RECIPE_FILE_MISSING',
    recipe: bass('').replace('b.wav', '«audio/brige.wav»'),
    files: {
      kindOf: path => (path.endsWith('/brige.wav') ? 'missing' : 'file'),
      identityOf: path => path,
      realPath: path => path,
      namesIn: () => ['room.wav', 'bridge.wav'],
    },
    nearest: 'audio/bridge.wav',
  },
  { code: 'RECIPE_FILE_MISSING', recipe: bass('').replace('b.wav', '«folder»') },
  { code: 'RECIPE_FILE_TWICE', recipe: bass('').replace('b.wav', '«a.wav»') },
  {
    code: 'RECIPE_FILE_TWICE',
    recipe: bass('').replace(
      'a.wav, bridge: b.wav',
      '{ file: a.wav, channel: left }, bridge: { file: «a.wav», channel: 1 }',
    ),
    facts: stereo,
  },
  {
    code: 'RECIPE_FILE_TWICE',
    recipe: `${source('{ group: «inner» }')}  inner: { reference: in, sources: { in: a.wav } }\n`,
  },
  {
    code: 'RECIPE_RATE_MISMATCH',
    recipe: bass('').replace('b.wav', '«b.wav»'),
    facts: path => (path.endsWith('/b.wav') ? { ...MONO, sampleRateHz: 44100 } : MONO),
  },
  { code: 'RECIPE_CHANNEL', recipe: source('{ file: b.wav, channel: «right» }') },
  { code: 'RECIPE_CHANNEL', recipe: source('{ file: b.wav, channel: «3» }'), facts: stereo },
  { code: 'RECIPE_PASSAGE', recipe: align('passage: [0:10-0:20, «0:20-0:31»]') },
  { code: 'RECIPE_PASSAGE', recipe: align('passage: «0:20-0:20»') },
  { code: 'RECIPE_PASSAGE', recipe: align('passage: [«0:12 to 0:20»]'), nearest: '0:12-0:20' },
  { code: 'RECIPE_PASSAGE', recipe: align('passage: [«0:12\u20130:20»]'), nearest: '0:12-0:20' },
  { code: 'RECIPE_PASSAGE', recipe: align('passage: [«1:99:00-2:00:00»]') },
  { code: 'RECIPE_PASSAGE', recipe: bass('report: { listen: «0:45-1:05» }\n') },
  { code: 'RECIPE_PIECES', recipe: source('{ pieces: [b.wav, «c.wav»] }') },
  { code: 'RECIPE_PIECES', recipe: source('{ pieces: [b.wav, { file: c.wav, at: 0:40, from: «0:31» }] }') },
  { code: 'RECIPE_PIECES', recipe: source('{ pieces: [b.wav, { file: c.wav, at: 0:40, to: «0:31» }] }') },
  {
    code: 'RECIPE_PIECES',
    recipe: source('{ pieces: [b.wav, { file: c.wav, at: 0:10, from: 0:05, to: «0:04» }] }'),
  },
  { code: 'RECIPE_PIECES', recipe: source('{ pieces: [b.wav, { file: c.wav, at: «90000 s» }] }') },
  {
    code: 'RECIPE_PIECES',
    recipe: source('{ pieces: [{ file: «b.wav», to: 0:10 }, { file: c.wav, at: 0:00 }] }'),
  },
  { code: 'RECIPE_PIECES', recipe: source('{ file: b.wav, «fade»: 10 ms }') },
  {
    code: 'RECIPE_PIECES',
    recipe: group(
      '    reference: piezo\n    sources: { piezo: { pieces: [a.wav, { file: c.wav, at: 0:10 }] }, bridge: b.wav }\n    align: { follow: «steps» }\n',
    ),
  },
  {
    code: 'RECIPE_PIECES',
    recipe: group(
      '    reference: piezo\n    sources: { piezo: a.wav, bridge: { pieces: [b.wav, { file: c.wav, at: 0:10 }] } }\n    align: { slate: «true» }\n',
    ),
  },
  {
    code: 'RECIPE_PIECES',
    recipe: group(
      '    reference: piezo\n    sources: { piezo: { pieces: [a.wav, { file: c.wav, at: 0:10, «polarity»: inverted }] }, bridge: b.wav }\n',
    ),
  },
  {
    code: 'RECIPE_LAG_BEYOND_SEARCH',
    recipe: source('{ pieces: [b.wav, { file: c.wav, at: 0:10, lag: «50 ms» }] }'),
  },
  {
    code: 'RECIPE_VALUE',
    recipe: source('{ pieces: [b.wav, { file: c.wav, at: 0:10, polarity: «inverse» }] }'),
    nearest: 'inverted',
  },
  { code: 'RECIPE_VALUE', recipe: source('{ pieces: [b.wav], fade: «2 s» }') },
  {
    code: 'RECIPE_UNIT',
    recipe: source('{ pieces: [b.wav, { file: c.wav, at: «72.5» }] }'),
    nearest: '72.5 s',
  },
  { code: 'RECIPE_UNIT', recipe: source('{ pieces: [b.wav, { file: c.wav, at: «soon» }] }') },
  { code: 'RECIPE_UNKNOWN_KEY', recipe: source('{ pieces: [b.wav], «file»: c.wav }') },
  { code: 'RECIPE_UNKNOWN_KEY', recipe: source('{ pieces: [b.wav], «slate»: c.wav }') },
  { code: 'RECIPE_UNKNOWN_KEY', recipe: source('{ pieces: [b.wav, { file: c.wav, «place»: 0:10 }] }') },
  { code: 'RECIPE_MISSING_KEY', recipe: source('{ pieces: [b.wav, «{» at: 0:10 }] }') },
  { code: 'RECIPE_FILE_TWICE', recipe: source('{ pieces: [b.wav, { file: «a.wav», at: 0:10 }] }') },
  {
    code: 'RECIPE_RATE_MISMATCH',
    recipe: source('{ pieces: [b.wav, { file: «c.wav», at: 0:10 }] }'),
    facts: path => ({ ...MONO, sampleRateHz: path.endsWith('c.wav') ? 44100 : 48000 }),
  },
  {
    code: 'RECIPE_CHANNEL',
    recipe: source('{ pieces: [b.wav, { file: «c.wav», at: 0:10 }] }'),
    facts: path => ({ ...MONO, channels: path.endsWith('c.wav') ? 2 : 1 }),
  },
  { code: 'RECIPE_GROUP_UNKNOWN', recipe: source('{ group: «kick» }') },
  { code: 'RECIPE_GROUP_CIRCLE', recipe: source('{ group: «bass» }') },
  {
    code: 'RECIPE_GROUP_CIRCLE',
    recipe: `${source('{ group: kit }')}  kit: { reference: a, sources: { a: c.wav, b: { group: «bass» } } }\n`,
  },
  {
    code: 'RECIPE_GROUP_TWICE',
    recipe: `${source('{ group: in }\n      again: { group: «in» }')}  in: { reference: a, sources: { a: c.wav } }\n`,
  },
  {
    code: 'RECIPE_TARGET_IS_SOURCE',
    recipe:
      `${bass('    blends: { «sum»: { parts: { piezo: 1 } } }\n')}deliver: { folder: ., stems: none }\n`.replace(
        'a.wav',
        'test_sum.wav',
      ),
  },
]
