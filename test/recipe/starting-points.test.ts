import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { expect, test } from 'vitest'
import { parse } from 'yaml'
import validate from '../../src/recipe/generated/recipe-validator.js'
import type { WaveFacts } from '../../src/recipe/session.js'
import { stemFileName } from '../../src/recipe/words/stem-name.js'
import { everythingThere, load, loadFile, MONO } from './recipe-room.js'

const root = join(import.meta.dirname, '../..')
const names = readdirSync(join(root, 'recipes')).filter(name => name.endsWith('.yaml'))

/** What recordings of these names would be: pairs and feeds are stereo, a scene has eight tracks, all last four minutes. */
const facts = (path: string): WaveFacts => {
  const channels = /scene/.test(path) ? 8 : /overheads|pair|harp|desk|hall/.test(path) ? 2 : 1
  return { ...MONO, channels, frames: 48000 * 240 }
}

/** A base is no song by itself; the songs that inherit from it are checked. */
const BASES = ['album.yaml']

test.each(names.filter(name => !BASES.includes(name)))('recipes/%s is right', async name => {
  const session = await loadFile(join(root, 'recipes', name), { files: everythingThere, facts })
  expect(session.groups.length).toBeGreaterThan(0)
  for (const group of session.groups) expect(group.sources.length).toBeGreaterThan(1)
})

test('there are at least eight starting points, each with a word on what it is for and the schema for an editor', () => {
  expect(names.length - BASES.length).toBeGreaterThanOrEqual(8)
  for (const name of names) {
    const text = readFileSync(join(root, 'recipes', name), 'utf8')
    const [first, second, third] = text.split('\n')
    expect([name, second, third!.startsWith('# ')]).toEqual([name, '#', true])
    const schema = /\$schema=(\S+)$/.exec(first!)?.[1]
    expect(existsSync(join(root, 'recipes', schema!))).toBe(true)
  }
})

test('an editor that knows only the schema finds nothing wrong with them, bases and heirs included', () => {
  for (const name of names) {
    const value: unknown = parse(readFileSync(join(root, 'recipes', name), 'utf8'))
    expect([name, validate(value), validate.errors]).toEqual([name, true, null])
  }
})

test('each base has a song that inherits from it', () => {
  for (const base of BASES) {
    const heirs = names.filter(name =>
      readFileSync(join(root, 'recipes', name), 'utf8').includes(`\nbase: ${base}\n`),
    )
    expect(heirs.length).toBeGreaterThan(0)
  }
})

test('the demo song\u2019s recipe is right', async () => {
  const path = join(root, 'examples/lantern-street/recipe.yaml')
  const session = await loadFile(path, { files: everythingThere })
  expect(session.groups.map(({ name, sources, blends }) => [name, sources.length, blends.length])).toEqual([
    ['upright-bass', 3, 3],
    ['snare', 2, 1],
    ['acoustic-guitar', 2, 1],
  ])
  const schema = /\$schema=(\S+)$/m.exec(readFileSync(path, 'utf8'))![1]!
  expect(existsSync(join(dirname(path), schema))).toBe(true)
  expect(
    stemFileName(session.deliver.nameTemplate, {
      song: session.song,
      take: '4',
      group: 'x',
      stem: 'bass-roomy',
    }),
  ).toBe('lantern_street_bass_roomy.wav')
})

test('the recipes in docs/recipe.md are right', async () => {
  const page = readFileSync(join(root, 'docs/recipe.md'), 'utf8')
  const blocks = [...page.matchAll(/```yaml\n([\s\S]*?)```/g)].map(match => match[1]!)
  expect(blocks).toHaveLength(2)
  for (const block of blocks) {
    const base = readFileSync(join(root, 'recipes/album.yaml'), 'utf8')
    const session = await load(`${block}${/^take/m.test(block) ? '' : 'take: 1\n'}`, {
      beside: { 'album.yaml': base },
    })
    expect(session.groups.length).toBeGreaterThan(0)
  }
})
