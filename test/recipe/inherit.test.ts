import { mkdirSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { everythingThere, faultsOf, load, loadFile, testFolder, underCaret } from './recipe-room.js'

const ALBUM = `recipe: 1
temperature: 22 C
groups:
  bass:
    reference: piezo
    sources:
      piezo: { file: "{song}/piezo.wav", via: pickup }
      mic: { file: mic.wav, via: mic, distance: 30 cm }
      kick: { group: kick }
    align: { search: 20 ms, aim: fullness, passage: [0:01-0:02, 0:03-0:04] }
    blends:
      bass: { parts: { piezo: 50, mic: 30, kick: 20 }, match: rms }
  kick: { reference: in, sources: { in: kick.wav } }
deliver: { depth: 16, name: "{stem}" }
`

test('what stands in the recipe wins, the rest comes from the base, by name and key', async () => {
  const song = `recipe: 1
base: album.yaml
song: Rope Walk
groups:
  bass:
    sources:
      mic: other.wav
      kick: { file: kick2.wav, channel: 1 }
      room: { file: room.wav, via: mic }
    align: { aim: arrival, passage: [0:05-0:06] }
    blends:
      bass: { parts: { piezo: 1, mic: 1 } }
      thin: { parts: { mic: 0 dB } }
  snare: { reference: top, sources: { top: top.wav } }
deliver: { depth: 24 }
`
  const session = await load(song, { beside: { 'album.yaml': ALBUM } })
  expect(session).toMatchObject({ song: 'Rope Walk', temperatureCelsius: 22 })
  expect(session.groups.map(({ name }) => name)).toEqual(['bass', 'kick', 'snare'])
  const [bass] = session.groups
  expect(bass!.sources).toMatchObject([
    { name: 'piezo', kind: 'file', fileShown: 'Rope Walk/piezo.wav', via: 'pickup' },
    { name: 'mic', kind: 'file', fileShown: 'other.wav', via: 'mic', distanceMetres: 0.3 },
    { name: 'kick', kind: 'file', fileShown: 'kick2.wav' },
    { name: 'room', kind: 'file', via: 'mic' },
  ])
  expect(bass!.align).toMatchObject({
    aim: 'arrival',
    searchSeconds: 0.02,
    passage: [{ startSeconds: 5, endSeconds: 6 }],
  })
  expect(bass!.blends).toMatchObject([
    {
      name: 'bass',
      match: 'rms',
      parts: [
        { source: 'piezo', share: 0.5 },
        { source: 'mic', share: 0.5 },
      ],
    },
    { name: 'thin', match: 'loudness' },
  ])
  expect(session.deliver).toMatchObject({ depth: 24, nameTemplate: '{stem}' })
})

test('a group in place of a file drops what only a file has', async () => {
  const song = `recipe: 1
base: album.yaml
song: a
groups: { bass: { sources: { mic: { group: kick }, kick: k.wav } } }
`
  const session = await load(song, { beside: { 'album.yaml': ALBUM } })
  expect(session.groups[1]!.sources[1]).toMatchObject({ kind: 'group', group: 'kick', distanceMetres: 0.3 })
})

test('paths are relative to the file in which they are written', async () => {
  const folder = testFolder()
  mkdirSync(join(folder, 'shared', 'deep'), { recursive: true })
  writeFileSync(
    join(folder, 'song.yaml'),
    'recipe: 1\nbase: shared/album.yaml\nsong: a\ngroups: { a: { sources: { q: q.wav } } }\n',
  )
  writeFileSync(
    join(folder, 'shared', 'album.yaml'),
    'recipe: 1\nbase: deep/root.yaml\ngroups: { a: { reference: p, sources: { p: p.wav } } }\n',
  )
  writeFileSync(
    join(folder, 'shared', 'deep', 'root.yaml'),
    'recipe: 1\ngroups: { a: { sources: { r: r.wav } } }\ndeliver: { folder: ../../out }\n',
  )
  const session = await loadFile(join(folder, 'song.yaml'), { files: everythingThere })
  expect(session.groups[0]!.sources.map(source => source.kind === 'file' && source.file)).toEqual([
    join(folder, 'shared', 'deep', 'r.wav'),
    join(folder, 'shared', 'p.wav'),
    join(folder, 'q.wav'),
  ])
  expect(session.deliver.folder).toBe(join(folder, 'out'))
})

test('a fault in a base points into the base, whatever kind it is', async () => {
  const cases: readonly (readonly [string, string, string])[] = [
    ['recipe: 1\ntempreature: 3\n', 'RECIPE_UNKNOWN_KEY', 'tempreature'],
    ['recipe: 1\nsong: "x\n', 'RECIPE_SYNTAX', '"'],
    ['recipe: 1\nsong: &x y\n', 'RECIPE_ALIAS', '&x'],
    ['recipe: 2\n', 'RECIPE_VALUE', '2'],
    ['recipe: 1\ngroups: { a: { align: { passage: 0:20-0:40 } } }\n', 'RECIPE_PASSAGE', '0:20-0:40'],
    ['recipe: 1\ngroups: { a: { blends: { b: { parts: { x: 1 } } } } }\n', 'RECIPE_PART', 'x'],
    ['recipe: 1\ngroups: { a: { sources: { q: ../q.wav } } }\n', 'RECIPE_OUTSIDE', '../q.wav'],
  ]
  const song = 'recipe: 1\nbase: b.yaml\nsong: s\ngroups: { a: { reference: p, sources: { p: p.wav } } }\n'
  for (const [base, code, text] of cases) {
    const found = await faultsOf(song, { beside: { 'b.yaml': base } })
    expect(found.map(fault => [fault.code, underCaret(fault), fault.file?.endsWith('b.yaml')])).toEqual([
      [code, text, true],
    ])
  }
  expect(cases).toHaveLength(7)
})

test('eight recipes in a row are the most', async () => {
  const chain = (length: number): Record<string, string> =>
    Object.fromEntries(
      Array.from({ length }, (_, index) => [
        `b${index}.yaml`,
        index + 1 < length ? `recipe: 1\nbase: b${index + 1}.yaml\n` : 'recipe: 1\ntempo: 90\n',
      ]),
    )
  const song = 'recipe: 1\nbase: b0.yaml\nsong: s\ngroups: { a: { reference: p, sources: { p: p.wav } } }\n'
  expect((await load(song, { beside: chain(7) })).tempoBpm).toBe(90)
  expect(await faultsOf(song, { beside: chain(8) })).toMatchObject([
    { code: 'RECIPE_BASE', place: { line: 2 } },
  ])
})

test('a base outside the folder is not even read', async () => {
  const folder = testFolder()
  mkdirSync(join(folder, 'songs'))
  writeFileSync(join(folder, 'secret.yaml'), 'password: 1234\n')
  const song = join(folder, 'songs', 'song.yaml')
  writeFileSync(song, 'recipe: 1\nbase: ../secret.yaml\nsong: s\n')
  await expect(loadFile(song)).rejects.toMatchObject({
    faults: [{ code: 'RECIPE_OUTSIDE', place: { line: 2, column: 7 } }],
  })
  await expect(loadFile(song, { allowOutside: true })).rejects.toMatchObject({
    faults: [{ code: 'RECIPE_MISSING_KEY' }, { code: 'RECIPE_UNKNOWN_KEY' }, { code: 'RECIPE_MISSING_KEY' }],
  })
})
