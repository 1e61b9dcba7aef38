import { linkSync, mkdirSync, symlinkSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { loadFile, testFolder } from './recipe-room.js'

/** A folder with a recipe of two sources, `audio/a.wav` and `audio/b.wav`, and an outside beside it. */
const folderWith = (recipe: string): { folder: string; outside: string; song: string } => {
  const base = testFolder()
  const folder = join(base, 'inside')
  const outside = join(base, 'outside')
  mkdirSync(join(folder, 'audio'), { recursive: true })
  mkdirSync(outside)
  for (const name of ['a', 'b']) writeFileSync(join(folder, 'audio', `${name}.wav`), name)
  writeFileSync(join(outside, 'far.wav'), 'far')
  const song = join(folder, 'song.yaml')
  writeFileSync(song, recipe)
  return { folder, outside, song }
}

const recipe = (q: string, rest = ''): string =>
  `recipe: 1\nsong: s\ngroups: { g: { reference: p, sources: { p: audio/a.wav, q: ${q} } } }\n${rest}`

test('files on the disk are found', async () => {
  const { song, folder } = folderWith(recipe('audio/b.wav'))
  const session = await loadFile(song)
  expect(session.groups[0]!.sources.map(source => source.kind === 'file' && source.file)).toEqual([
    join(folder, 'audio', 'a.wav'),
    join(folder, 'audio', 'b.wav'),
  ])
})

test('a link in the tree that points out of it is outside, for a file, a folder and a delivery folder', async () => {
  const file = folderWith(recipe('audio/link.wav'))
  symlinkSync(join(file.outside, 'far.wav'), join(file.folder, 'audio', 'link.wav'))
  await expect(loadFile(file.song)).rejects.toMatchObject({ faults: [{ code: 'RECIPE_OUTSIDE' }] })
  expect((await loadFile(file.song, { allowOutside: true })).groups).toHaveLength(1)

  const folder = folderWith(recipe('linked/far.wav'))
  symlinkSync(folder.outside, join(folder.folder, 'linked'))
  await expect(loadFile(folder.song)).rejects.toMatchObject({ faults: [{ code: 'RECIPE_OUTSIDE' }] })

  const target = folderWith(recipe('audio/b.wav', 'deliver: { folder: linked/new/deep }\n'))
  symlinkSync(target.outside, join(target.folder, 'linked'))
  await expect(loadFile(target.song)).rejects.toMatchObject({ faults: [{ code: 'RECIPE_OUTSIDE' }] })
})

test('a link inside the tree is fine, and a recipe in a linked folder is too', async () => {
  const { song, folder, outside } = folderWith(recipe('audio/link.wav'))
  symlinkSync(join(folder, 'audio', 'b.wav'), join(folder, 'audio', 'link.wav'))
  expect((await loadFile(song)).groups).toHaveLength(1)
  symlinkSync(folder, join(outside, 'session'))
  expect((await loadFile(join(outside, 'session', 'song.yaml'))).groups).toHaveLength(1)
})

test('one recording under two names is one file twice: a link, a hard link, another spelling', async () => {
  const spelt = folderWith(recipe('./audio/../audio/a.wav'))
  await expect(loadFile(spelt.song)).rejects.toMatchObject({ faults: [{ code: 'RECIPE_FILE_TWICE' }] })
  for (const join2 of [symlinkSync, linkSync]) {
    const { song, folder } = folderWith(recipe('audio/again.wav'))
    join2(join(folder, 'audio', 'a.wav'), join(folder, 'audio', 'again.wav'))
    await expect(loadFile(song)).rejects.toMatchObject({ faults: [{ code: 'RECIPE_FILE_TWICE' }] })
  }
})

test('a missing file names its nearest neighbour, or the path with slashes', async () => {
  const missing = folderWith(recipe('audio/B.WAV'))
  await expect(loadFile(missing.song)).rejects.toMatchObject({
    faults: [{ code: 'RECIPE_FILE_MISSING', nearest: 'audio/b.wav' }],
  })
  const backslash = folderWith(recipe("'audio\\b.wav'"))
  await expect(loadFile(backslash.song)).rejects.toMatchObject({
    faults: [{ code: 'RECIPE_FILE_MISSING', nearest: 'audio/b.wav' }],
  })
  const noFolder = folderWith(recipe('nowhere/b.wav'))
  await expect(loadFile(noFolder.song)).rejects.toMatchObject({
    faults: [{ code: 'RECIPE_FILE_MISSING', nearest: null }],
  })
})

test('a stem that would land on a source is refused, also through a link or a hard link', async () => {
  const rest = 'deliver: { folder: out, stems: [q] }\n'
  const hard = folderWith(recipe('audio/b.wav', rest))
  mkdirSync(join(hard.folder, 'out'))
  linkSync(join(hard.folder, 'audio', 'b.wav'), join(hard.folder, 'out', 's_g_q.wav'))
  await expect(loadFile(hard.song)).rejects.toMatchObject({ faults: [{ code: 'RECIPE_TARGET_IS_SOURCE' }] })

  const soft = folderWith(recipe('audio/s_g_q.wav', rest))
  writeFileSync(join(soft.folder, 'audio', 's_g_q.wav'), 'q')
  symlinkSync(join(soft.folder, 'audio'), join(soft.folder, 'out'))
  await expect(loadFile(soft.song)).rejects.toMatchObject({ faults: [{ code: 'RECIPE_TARGET_IS_SOURCE' }] })
})

test('a delivery folder that is a file is refused', async () => {
  const { song } = folderWith(recipe('audio/b.wav', 'deliver: { folder: audio/a.wav }\n'))
  await expect(loadFile(song)).rejects.toMatchObject({ faults: [{ code: 'RECIPE_VALUE' }] })
})

test('a base that links back to the recipe is a circle', async () => {
  const { song, folder } = folderWith('recipe: 1\nbase: other.yaml\nsong: s\n')
  symlinkSync(song, join(folder, 'other.yaml'))
  await expect(loadFile(song)).rejects.toMatchObject({ faults: [{ code: 'RECIPE_BASE' }] })
})
