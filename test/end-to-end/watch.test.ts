import { type ChildProcess, spawn } from 'node:child_process'
import { readdirSync, readFileSync, renameSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, afterEach, beforeAll, expect, test } from 'vitest'
import { makeSong, type Song } from './setting/song.js'
import { expectFreshBuild, main, sumwell } from './setting/sumwell.js'

let song: Song
beforeAll(() => {
  expectFreshBuild()
  song = makeSong(1.5)
})
const running = new Set<ChildProcess>()
afterEach(() => {
  for (const child of running) child.kill('SIGKILL')
})
afterAll(() => {
  song.remove()
})

/** The running command, and a way to wait for the n-th time that something is said. */
const started = () => {
  const child: ChildProcess = spawn(
    process.execPath,
    [main, 'render', 'recipe.yaml', '--watch', '--no-audio'],
    {
      cwd: song.folder,
      env: { ...process.env, NO_COLOR: '1' },
    },
  )
  let said = ''
  let heard = () => {}
  child.stderr?.setEncoding('utf8').on('data', (text: string) => {
    said += text
    heard()
  })
  const until = (words: RegExp): Promise<string> =>
    new Promise((resolve, reject) => {
      const timer = setTimeout(() => {
        reject(new Error(`never said ${words.source}; said:\n${said}`))
      }, 50_000)
      heard = () => {
        const found = words.exec(said)
        if (found === null) return
        clearTimeout(timer)
        said = said.slice(found.index + found[0].length)
        resolve(found[0])
      }
      heard()
    })
  const ended = new Promise<number | null>(resolve => child.on('close', resolve))
  running.add(child)
  void ended.then(() => running.delete(child))
  return { child, until, ended }
}
const blend = () => readFileSync(join(song.folder, 'stems/short_song_both.wav'))

test('renders again what changed, once it is whole, and ends cleanly with 130', async () => {
  const { child, until, ended } = started()
  await until(/watching 6 files; Ctrl-C ends it\n/)
  const first = blend()

  // An editor that saves by renaming.
  const draft = song.write(
    'draft.tmp',
    song.recipeText.replace('piezo: 55, bridge: 45', 'piezo: 30, bridge: 70'),
  )
  renameSync(draft, song.recipe)
  expect(await until(/changed: .*\n/)).toBe('changed: recipe.yaml; rendering recipe.yaml\n')
  await until(/watching 6 files/)
  const second = blend()
  expect(second.equals(first)).toBe(false)

  // A recorder that writes in bursts: rendered once, when it has ended.
  const bridge = join(song.folder, 'audio/bridge.wav')
  const whole = readFileSync(bridge)
  for (const share of [0.3, 0.6, 1]) {
    writeFileSync(bridge, whole.subarray(0, Math.round(share * whole.length)))
    await new Promise(resolve => setTimeout(resolve, 700))
  }
  expect(await until(/changed: .*\n/)).toBe('changed: audio/bridge.wav; rendering recipe.yaml\n')
  await until(/watching 6 files/)
  expect(blend().equals(second)).toBe(true)

  // A recipe that is wrong is told, and mending it is seen.
  writeFileSync(song.recipe, 'song: [\n')
  await until(/RECIPE_SYNTAX[\s\S]*watching/)
  expect(blend().equals(second)).toBe(true)
  writeFileSync(song.recipe, song.recipeText)
  await until(/changed: recipe\.yaml[\s\S]*watching/)
  expect(blend().equals(first)).toBe(true)

  child.kill('SIGINT')
  expect(await ended).toBe(130)
}, 200_000)

test('Ctrl-C in the middle of a render leaves the former delivery and nothing half-written', async () => {
  const { child, until, ended } = started()
  await until(/watching/)
  const before = blend()
  writeFileSync(song.recipe, song.recipeText.replace('piezo: 55, bridge: 45', 'piezo: 10, bridge: 90'))
  await until(/: rendering\n/)
  child.kill('SIGINT')
  expect(await ended).toBe(130)
  expect(blend().equals(before)).toBe(true)
  expect(readdirSync(join(song.folder, 'stems')).filter(name => name.startsWith('.'))).toEqual([])
}, 120_000)

test('--watch and --json do not go together', async () => {
  const ended = await sumwell(['render', 'recipe.yaml', '--watch', '--json'], { cwd: song.folder })
  expect(ended.status).toBe(2)
})
