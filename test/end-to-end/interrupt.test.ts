import { join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { makeSong, type Song } from './setting/song.js'
import { expectFreshBuild, hashesUnder, sumwell } from './setting/sumwell.js'

let song: Song
let recordings: Record<string, string>
beforeAll(() => {
  expectFreshBuild()
  song = makeSong(4)
  recordings = hashesUnder(join(song.folder, 'audio'))
})
afterAll(() => {
  expect(hashesUnder(join(song.folder, 'audio'))).toEqual(recordings)
  song.remove()
})

const renderInto = (folder: string, stage: string, signal: NodeJS.Signals, times = 1) => {
  song.write('recipe-here.yaml', recipeInto(folder))
  return sumwell(['render', 'recipe-here.yaml'], {
    cwd: song.folder,
    interrupt: { signal, times, when: stderr => stderr.includes(`: ${stage}\n`) },
  })
}
const recipeInto = (folder: string): string => song.recipeText.replace('folder: stems', `folder: ${folder}`)

// The signal is sent when the line of the stage appears; workers are in the middle of a task then.
test.each([
  ['measuring', 'SIGINT'],
  ['measuring', 'SIGTERM'],
  ['measuring', 'SIGHUP'],
  ['rendering', 'SIGINT'],
] as const)(
  'while %s, %s: status 130, and nothing is left in the folder of delivery',
  async (stage, signal) => {
    const folder = `${stage}-${signal}`
    const ended = await renderInto(folder, stage, signal)
    expect([ended.status, ended.stdout]).toEqual([130, ''])
    expect(ended.stderr).toMatch(/\nStopping: .*\n(.*\n)*INTERRUPTED {2}/)
    expect(ended.stderr).not.toMatch(/\n\s+at /)
    expect(filesIn(folder)).toEqual([])
  },
)

// The last moment at which all stems are whole already, and none is in its place.
test('a former delivery stays as it was, to the last byte', async () => {
  const first = await sumwell(['render', 'recipe.yaml', '--quiet'], { cwd: song.folder })
  expect(first.status).toBe(0)
  const former = hashesUnder(join(song.folder, 'stems'))
  expect(Object.keys(former)).toHaveLength(12)
  const ended = await renderInto('stems', 'comparing the tone', 'SIGINT')
  expect(ended.status).toBe(130)
  expect(hashesUnder(join(song.folder, 'stems'))).toEqual(former)
})

test('a second signal ends it at once, and even then nothing is left', async () => {
  const ended = await renderInto('twice', 'rendering', 'SIGINT', 2)
  expect(ended.status).toBe(130)
  expect(filesIn('twice')).toEqual([])
})

const filesIn = (folder: string): string[] =>
  Object.keys(hashesUnder(song.folder))
    .filter(name => name.startsWith(`${folder}/`))
    .map(name => name.slice(folder.length + 1))
