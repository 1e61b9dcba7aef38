import { readdirSync, readFileSync, rmSync, statSync, utimesSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterEach, beforeEach, expect, test } from 'vitest'
import { contentsWith } from '../../src/lock/cache/contents.js'
import { fileMemory } from '../../src/lock/cache/file-memory.js'
import { recallFrom } from '../../src/lock/cache/recall.js'
import { cleanStore, openStore, storeSize } from '../../src/lock/cache/store.js'
import { quietContext } from '../../src/terms/task.js'
import { type Fingerprint, fingerprintOf } from '../../src/wave/fingerprint.js'
import { sha256OfFile } from '../../src/wave/hash.js'
import { path, performance, type SongFolder, songFolder, withMetadata } from './setting/small-song.js'

let song: SongFolder
beforeEach(() => {
  song = songFolder()
})
afterEach(() => {
  song.remove()
})

const store = () => openStore(join(song.folder, 'cache'))
const entries = (): string[] =>
  readdirSync(join(song.folder, 'cache', 'entries'), { recursive: true, withFileTypes: true })
    .filter(entry => entry.isFile())
    .map(entry => join(entry.parentPath, entry.name))

test('what was put in comes out again: numbers to the last bit, arrays of numbers as such', () => {
  const value = {
    lag: 0.1 + 0.2,
    none: null,
    off: -0,
    sums: Float64Array.of(1 / 3, Number.NaN),
    bytes: Uint8Array.of(7),
  }
  store().put('a', value)
  expect(store().get('a')).toEqual({ value })
  expect(store().get('b')).toBeNull()
})

test('an entry of which a byte is wrong, or that is cut short, is as if it were not there, and goes', () => {
  let tried = 0
  const damages: ((bytes: Buffer) => Buffer)[] = [
    bytes => bytes.subarray(0, bytes.length - 1),
    bytes => bytes.subarray(0, 10),
    () => Buffer.alloc(0),
    bytes => Buffer.concat([bytes, Buffer.of(0)]),
    ...Array.from({ length: 20 }, (_, i) => (bytes: Buffer) => {
      const copy = Buffer.from(bytes)
      const at = Math.floor((i * copy.length) / 20)
      copy[at] = copy[at]! ^ 1
      return copy
    }),
  ]
  for (const damage of damages) {
    store().put('key', { lag: 95.31, list: [1, 2, 3] })
    const [file] = entries()
    writeFileSync(file!, damage(readFileSync(file!)))
    expect(store().get('key')).toBeNull()
    expect(entries()).toHaveLength(0)
    tried += 1
  }
  expect(tried).toBe(24)
})

test('an entry that lies under the name of another is not taken for it', () => {
  store().put('one', 1)
  const [one] = entries()
  const bytes = readFileSync(one!)
  store().put('two', 2)
  const two = entries().find(file => file !== one)!
  writeFileSync(two, bytes)
  expect(store().get('two')).toBeNull()
})

test('many writers of one key leave one whole entry and nothing beside it', async () => {
  await Promise.all(
    Array.from({ length: 50 }, (_, i) =>
      Promise.resolve().then(() => {
        store().put('key', { made: i })
      }),
    ),
  )
  expect(entries()).toHaveLength(1)
  expect(store().get('key')).not.toBeNull()
})

test('it is kept small: what was not used for longest goes first', () => {
  const folder = join(song.folder, 'cache')
  for (let i = 0; i < 6; i++) {
    store().put(`key ${i}`, Buffer.alloc(1000, i))
    const fresh = entries().find(file => statSync(file).mtimeMs > Date.now() - 60_000)!
    utimesSync(fresh, 1_700_000_000 + i, 1_700_000_000 + i)
  }
  const { bytes } = storeSize(folder)
  expect(storeSize(folder).entries).toBe(6)
  const removed = cleanStore(folder, bytes / 2)
  expect(removed.entries).toBe(3)
  expect(storeSize(folder)).toEqual({ entries: 3, bytes: bytes - removed.bytes })
  expect([0, 1, 2, 3, 4, 5].map(i => store().get(`key ${i}`) !== null)).toEqual([
    false,
    false,
    false,
    true,
    true,
    true,
  ])
  expect(cleanStore(folder, 0).entries).toBe(3)
  expect(storeSize(join(song.folder, 'nowhere'))).toEqual({ entries: 0, bytes: 0 })
})

test('a file is not looked into again while size, times and inode stay; else it is', () => {
  const file = join(song.folder, 'take.wav')
  writeFileSync(file, 'abc')
  utimesSync(file, 1_700_000_000, 1_700_000_000)
  const memory = fileMemory<string>(store(), 'test', true)
  const remember = () => {
    // The change of times is itself a change that has just been made: the doubt about it is over after a tick of the clock.
    const mark = memory.mark(file)!
    memory.remember(file, { ...mark, seenMs: mark.seenMs + 10_000 }, sha256OfFile(file))
  }
  expect(memory.recall(file)).toBeNull()
  remember()
  expect(memory.recall(file)).toBe(sha256OfFile(file))
  expect(fileMemory<string>(store(), 'test', false).recall(file)).toBeNull()
  // The same size, and the time set back: the inode's own time tells.
  writeFileSync(file, 'abd')
  utimesSync(file, 1_700_000_000, 1_700_000_000)
  expect(memory.recall(file)).toBeNull()
  remember()
  expect(memory.recall(file)).toBe(sha256OfFile(file))
  rmSync(file)
  expect(memory.recall(file)).toBeNull()
})

test('a file that was written to just before it was looked into stays in doubt', () => {
  const file = join(song.folder, 'take.wav')
  writeFileSync(file, 'abc')
  const memory = fileMemory<string>(store(), 'test', true)
  memory.remember(file, memory.mark(file)!, 'sum')
  expect(memory.recall(file)).toBeNull()
})

test('the fingerprint: other metadata are another file and the same audio; one sample is other audio', () => {
  const [plain] = performance([path(0)], 1, 0.2)
  const other = Buffer.from(plain!)
  other[100] = other[100]! ^ 1
  const print = (name: string, bytes: Buffer): Fingerprint => {
    song.write(name, bytes)
    return fingerprintOf({ file: join(song.folder, name) }, quietContext) as Fingerprint
  }
  const a = print('a.wav', plain!)
  const b = print('b.wav', withMetadata(plain!, 'reel one'))
  const c = print('c.wav', other)
  expect(a.sha256).toBe(sha256OfFile(join(song.folder, 'a.wav')))
  expect(b.sha256).not.toBe(a.sha256)
  expect([b.audioSha256, b.format]).toEqual([a.audioSha256, a.format])
  expect(c.audioSha256).not.toBe(a.audioSha256)
  expect(a.format).toBe('24 bit int, 16000 Hz, 1 channel, 3200 frames')
})

test('results are found again by the sound: not under another program, another setting or another sound, nor when the file changed meanwhile', async () => {
  const [one, two] = performance([path(0), path(5)], 1, 0.2)
  song.write('a.wav', one!)
  song.write('b.wav', withMetadata(one!, 'elsewhere'))
  song.write('c.wav', two!)
  const [a, b, c] = ['a.wav', 'b.wav', 'c.wav'].map(name => join(song.folder, name)) as [
    string,
    string,
    string,
  ]
  const look = ({ file }: { readonly file: string }) =>
    Promise.resolve(fingerprintOf({ file }, quietContext) as Fingerprint)
  const contents = contentsWith(fileMemory<Fingerprint>(store(), 'sound', true), look)
  await contents.know([a, b, c])
  let made = 0
  const make = () => Promise.resolve(++made)
  const recall = recallFrom(store(), '1', contents)
  expect(await recall('scan', { file: a, channel: 1 }, make)).toBe(1)
  expect(await recall('scan', { file: b, channel: 1 }, make)).toBe(1)
  expect(await recall('scan', { file: a, channel: 2 }, make)).toBe(2)
  expect(await recall('scan', { file: c, channel: 1 }, make)).toBe(3)
  expect(await recall('look', { file: a, channel: 1 }, make)).toBe(4)
  expect(await recallFrom(store(), '2', contents)('scan', { file: a, channel: 1 }, make)).toBe(5)
  const spoilt = () => {
    song.write('a.wav', two!)
    return make()
  }
  expect(await recall('tone', { file: a }, spoilt)).toBe(6)
  expect(await recall('tone', { file: a }, make)).toBe(7)
})
