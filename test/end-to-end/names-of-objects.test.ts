import { cpSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { makeSong, type Song } from './setting/song.js'
import { expectFreshBuild, sumwell } from './setting/sumwell.js'

/*
 * Names that every object of the language answers to. Groups, sources and blends may be called so, and they may come and go between two
 * renders: what was not there before has no past.
 */

const RENAMED = {
  snare: 'isPrototypeOf',
  top: 'toString',
  bottom: 'valueOf',
  both: 'hasOwnProperty',
} as const

const renamed = (recipe: string): string =>
  recipe
    .replace('  snare:\n    reference: top', `  ${RENAMED.snare}:\n    reference: ${RENAMED.top}`)
    .replace('      top: {', `      ${RENAMED.top}: {`)
    .replace('      bottom: {', `      ${RENAMED.bottom}: {`)
    .replace('parts: { top: 60, bottom: 40 }', `parts: { ${RENAMED.top}: 60, ${RENAMED.bottom}: 40 }`)
    .replace('      both: {', `      ${RENAMED.both}: {`)

let song: Song
beforeAll(() => {
  expectFreshBuild()
  song = makeSong(1.5)
})
afterAll(() => {
  song.remove()
})

const render = async (...more: string[]) => {
  const ended = await sumwell(['render', song.recipe, '--no-audio', '--quiet', ...more])
  expect([ended.status, ended.stderr]).toEqual([0, ''])
}

test('a group called isPrototypeOf comes, is rendered again, and goes', async () => {
  await render()
  cpSync(join(song.folder, 'stems'), join(song.folder, 'before'), { recursive: true })
  writeFileSync(song.recipe, renamed(song.recipeText))
  await render('--prune')
  await render('--locked')
  const [old, now] = [join(song.folder, 'before'), join(song.folder, 'stems')]
  for (const [a, b] of [
    [old, now],
    [now, old],
  ] as const) {
    const ended = await sumwell(['compare', a, b, '--json'])
    expect([ended.status, ended.stderr]).toEqual([0, ''])
    const { songs } = JSON.parse(ended.stdout) as { songs: { comparison: { groups: { name: string }[] } }[] }
    const { groups } = songs[0]!.comparison
    expect(groups.map(({ name }) => name).sort()).toEqual(['bass', RENAMED.snare, 'snare'])
  }
  expect((await sumwell(['report', now])).status).toBe(0)
  expect((await sumwell(['verify', now])).status).toBe(0)
  writeFileSync(song.recipe, song.recipeText)
  await render('--prune')
})
