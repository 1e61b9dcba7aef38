import { createHash } from 'node:crypto'
import { mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { contentsWith } from '../../../src/lock/cache/contents.js'
import { fileMemory } from '../../../src/lock/cache/file-memory.js'
import { openStore, type Store, storeSize } from '../../../src/lock/cache/store.js'
import { quietContext } from '../../../src/terms/task.js'
import { type Fingerprint, fingerprintOf } from '../../../src/wave/fingerprint.js'
import { waveBytes } from '../../end-to-end/setting/wave-bytes.js'
import { judged, playground } from '../judge.js'
import { mutatedBytes } from '../mutate-bytes.js'
import type { Target } from '../target.js'

const WORDS = ['"', 'o', '{', 'A', '\\', 'V', '\ufeff', '0', '\u00ff\r']

/** An entry of the cache that was damaged (its checksum tells) or forged (its checksum is right): what is known of a recording. */
export const cacheTarget = async (): Promise<Target> => {
  const ground = playground()
  const recording = join(ground.folder, 'a.wav')
  writeFileSync(recording, waveBytes([Float64Array.of(0, 0.5, -0.5)], 48_000))
  const cache = join(ground.folder, 'cache')
  const look = (): Promise<Fingerprint> => Promise.resolve(fingerprintOf({ file: recording }, quietContext))
  // The true key names a path, which is another one in each run: under this one an entry is the same in all.
  const store: Store = {
    folder: cache,
    get: () => openStore(cache).get('recording'),
    put: (_key, value) => {
      openStore(cache).put('recording', value)
    },
  }
  const known = async (): Promise<Fingerprint | undefined> => {
    const contents = contentsWith(fileMemory<Fingerprint>(store, 'sound', true), look)
    await contents.know([recording])
    return contents.fingerprint(recording)
  }
  const right = JSON.stringify(await known())
  const [entry] = readdirSync(cache, { recursive: true, withFileTypes: true }).filter(one => one.isFile())
  if (entry === undefined) throw new Error('nothing was remembered')
  const place = join(entry.parentPath, entry.name)
  const seed = readFileSync(place)
  const signed = (body: Uint8Array): Buffer =>
    Buffer.concat([Buffer.from(createHash('sha256').update(body).digest('hex'), 'latin1'), body])
  return {
    name: 'cache',
    ending: 'bin',
    share: 0.05,
    make: chance => {
      const mutation = {
        within: 1e9,
        words: WORDS,
        others: [seed],
        mostChanges: chance.pick([1, 1, 2, 6]),
        mostBytes: 4096,
      }
      return chance.once(2)
        ? mutatedBytes(seed, chance, mutation)
        : signed(mutatedBytes(seed.subarray(64), chance, mutation))
    },
    try: async input => {
      mkdirSync(dirname(place), { recursive: true })
      writeFileSync(place, input)
      const isSigned =
        createHash('sha256').update(input.subarray(64)).digest('hex') ===
        Buffer.from(input.subarray(0, 64)).toString('latin1')
      const verdict = await judged(async () => {
        storeSize(cache)
        const found = JSON.stringify(await known())
        if (!isSigned && found !== right) throw new Error(`a damaged entry was believed: ${found}`)
      })
      rmSync(place, { force: true })
      ground.expectOnly(['a.wav', 'cache'])
      return isSigned ? verdict : 'refused'
    },
    close: ground.remove,
  }
}
