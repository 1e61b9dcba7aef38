import { readdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { loadSession } from '../../../src/recipe/load-session.js'
import { everythingThere, MONO } from '../../recipe/recipe-room.js'
import { judged, playground } from '../judge.js'
import { mutatedBytes } from '../mutate-bytes.js'
import type { Target } from '../target.js'

const root = join(import.meta.dirname, '../../..')
const FOLDERS = ['recipes', 'examples/lantern-street']

const FULL = `recipe: 1
song: Test
take: 4
tempo: 92
temperature: 21 C
groups:
  bass:
    reference: piezo
    sources:
      piezo: { file: "a-{take}.wav", via: pickup, channel: left }
      bridge: { file: b.wav, distance: 25 cm, lag: 2.1 ms, nudge: -3 ms, polarity: inverted }
      kick: { group: kick }
    align: { aim: fullness, search: 40 ms, passage: [0:12-0:20], hold: latest, resolution: sample, follow: steps }
    blends:
      sum: { parts: { piezo: 55, bridge: 45 }, match: rms, aligned: false }
      raw: { parts: { piezo: 0 dB, bridge: -2 dB } }
  kick: { reference: in, sources: { in: k.wav } }
deliver: { folder: "stems/{song}", depth: 32f, stems: [bridge], ceiling: -1 dBTP, name: "{song}_{stem}" }
report: { listen: 0:05-0:15 }
`

const SEEDS: readonly Uint8Array[] = [
  Buffer.from(FULL),
  ...FOLDERS.flatMap(folder =>
    readdirSync(join(root, folder))
      .filter(name => /^(?!.*\.lock\.).*\.yaml$/.test(name))
      .sort()
      .map(name => readFileSync(join(root, folder, name))),
  ),
]

const schema = readFileSync(join(root, 'schemas/recipe.schema.json'), 'utf8')
/** Every key and every word that the format knows, and what YAML can do beside. */
const WORDS = [
  ...new Set([...schema.matchAll(/"([A-Za-z][\w -]*)"/g)].map(([, word]) => word ?? '')),
  ...[
    ': ',
    '- ',
    '? ',
    '{',
    '}',
    '[',
    ']',
    ',',
    '\n',
    '\r\n',
    '\r',
    '\t',
    '  ',
    '"',
    "'",
    '#',
    '|',
    '>',
    '|2-',
    '>+1',
    '&a ',
    '*a',
    '!!str ',
    '!x ',
    '<<: *a',
  ],
  ...[
    '%YAML 1.1\n',
    '---\n',
    '...\n',
    '\ufeff',
    '\u0000',
    '\u2028',
    '\u0085',
    '\u{1f3b8}',
    '__proto__',
    'constructor',
    'toString',
    'null',
    '~',
    'yes',
    '0x1F',
    '.inf',
    '.nan',
  ],
  ...[
    '40 ms',
    '-3 dB',
    '101 samples',
    '25 cm',
    '21 C',
    '0:12-0:20',
    '{take}',
    '{song}',
    '{stem}',
    '{group}',
    '../x',
    '/etc/x',
    'C:\\x',
    'base: album.yaml\n',
  ],
]

/** The whole recipe room: from bytes on a disk to a session, without recordings. */
export const recipeTarget = (): Target => {
  const ground = playground()
  const file = join(ground.folder, 'song.yaml')
  writeFileSync(join(ground.folder, 'album.yaml'), 'recipe: 1\ntemperature: 20 C\ndeliver: { depth: 24 }\n')
  return {
    name: 'recipe',
    ending: 'yaml',
    share: 0.25,
    make: chance =>
      mutatedBytes(chance.pick(SEEDS), chance, {
        within: 1e9,
        words: WORDS,
        others: SEEDS,
        mostChanges: chance.pick([1, 1, 2, 6]),
        mostBytes: 20_000,
      }),
    try: async input => {
      writeFileSync(file, input)
      const verdict = await judged(async () => {
        const session = await loadSession(file, {
          probe: () => ({ facts: { ...MONO, channels: 8 } }),
          take: undefined,
          files: {
            ...everythingThere,
            kindOf: path =>
              path.endsWith('.yaml') && !path.endsWith('album.yaml') && path !== file
                ? 'missing'
                : everythingThere.kindOf(path),
          },
        })
        const outside = session.groups
          .flatMap(group =>
            group.sources.map(source => (source.kind === 'file' ? source.file : ground.folder)),
          )
          .concat(session.deliver.folder)
          .filter(path => !`${path}/`.startsWith(`${ground.folder}/`))
        if (outside.length > 0) throw new Error(`outside: ${outside.join(', ')}`)
      })
      if (Object.prototype.hasOwnProperty.call(Object.prototype, 'polluted'))
        throw new Error('a prototype was changed')
      ground.expectOnly(['song.yaml', 'album.yaml'])
      return verdict
    },
    close: ground.remove,
  }
}
