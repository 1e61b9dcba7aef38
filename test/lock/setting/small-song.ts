import { createHash } from 'node:crypto'
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import type * as Sumwell from '../../../src/index.js'
import { type Path, recorded } from '../../end-to-end/setting/sound.js'
import { root } from '../../end-to-end/setting/sumwell.js'
import { waveBytes } from '../../end-to-end/setting/wave-bytes.js'

/** The built library: its tasks run in threads, as in the command. */
export const library = (await import(join(root, 'dist/index.js'))) as typeof Sumwell

export const RATE_HZ = 16_000
export const SECONDS = 1.6

/** One performance through several paths, each as a file's bytes. The same arguments give the same bytes. */
export const performance = (paths: readonly Path[], seed: number, seconds = SECONDS): readonly Buffer[] =>
  recorded(paths, seconds, RATE_HZ, seed).map(samples => waveBytes([samples], RATE_HZ))

export const path = (lateSamples: number, gain = 0.7, noise = 2e-4): Path => ({ lateSamples, gain, noise })

/** The same sound with other metadata: a chunk that nobody knows stands before the audio. */
export const withMetadata = (bytes: Buffer, note: string): Buffer => {
  const text = Buffer.from(note.length % 2 === 0 ? note : `${note} `, 'latin1')
  const head = Buffer.alloc(8)
  head.write('note', 0, 'latin1')
  head.writeUInt32LE(text.length, 4)
  const out = Buffer.concat([bytes.subarray(0, 12), head, text, bytes.subarray(12)])
  out.writeUInt32LE(out.length - 8, 4)
  return out
}

export interface SongFolder {
  readonly folder: string
  readonly recipe: string
  readonly lock: string
  readonly stems: string
  write(name: string, content: string | Buffer): void
  remove(): void
}

export const songFolder = (): SongFolder => {
  const folder = mkdtempSync(join(tmpdir(), 'sumwell-lock-'))
  return {
    folder,
    recipe: join(folder, 'recipe.yaml'),
    lock: join(folder, 'recipe.lock.yaml'),
    stems: join(folder, 'stems'),
    write: (name, content) => {
      const file = join(folder, name)
      mkdirSync(dirname(file), { recursive: true })
      writeFileSync(file, content)
    },
    remove: () => {
      rmSync(folder, { recursive: true, force: true })
    },
  }
}

/** A recipe for two paths of which there are several takes; `head` stands below `take:`, `inGroup` above the blend. */
export const twoMics = ({
  take = 4,
  head = '',
  inGroup = '',
  share = 55,
  folder = 'stems-{take}',
} = {}): string => `recipe: 1
song: Two Mics
take: ${take}
${head}groups:
  bass:
    reference: piezo
    sources:
      piezo: { file: "take-{take}/piezo.wav", via: pickup }
      bridge: { file: "take-{take}/bridge.wav", via: mic }
${inGroup}    blends:
      bass: { parts: { piezo: ${share}, bridge: ${100 - share} } }
deliver: { folder: "${folder}" }
`

/** The recordings of a take of it: pickup, then microphone. */
export const layTake = (
  song: SongFolder,
  take: number,
  [piezo, bridge]: readonly [Path, Path],
  seed: number,
): void => {
  performance([piezo, bridge], seed).forEach((bytes, i) => {
    song.write(`take-${take}/${i === 0 ? 'piezo' : 'bridge'}.wav`, bytes)
  })
}

/** Checksum of every file below a folder, by its path within; none for a folder that is not there. */
export const sumsUnder = (folder: string): Readonly<Record<string, string>> => {
  const names = readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter(entry => entry.isFile())
    .map(entry => join(entry.parentPath, entry.name))
    .sort()
  return Object.fromEntries(
    names.map(file => [
      file.slice(folder.length + 1),
      createHash('sha256').update(readFileSync(file)).digest('hex'),
    ]),
  )
}
