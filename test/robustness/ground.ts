import { chmodSync, cpSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { recipeOfTwo } from '../end-to-end/setting/recipe-of-two.js'
import { recorded } from '../end-to-end/setting/sound.js'
import { waveBytes } from '../end-to-end/setting/wave-bytes.js'

const RATE_HZ = 48_000
const SECONDS = 1

/** Two microphones on one drum, the lower one 7 frames later and the other way round. */
export const RECIPE = recipeOfTwo()

/** A folder with a good song, for one case. */
export interface Ground {
  readonly folder: string
  /** `RECIPE` with one piece exchanged, as a file; `song.yaml` where no name is given. */
  recipe(from: string, to: string, name?: string): void
  /** A file in the folder. */
  put(name: string, content: string | Uint8Array): string
  path(name: string): string
}

/** Its second recording lies above the folder of the recipe. */
export const withOutside = (ground: Ground): void => {
  cpSync(join(ground.folder, 'audio/bottom.wav'), join(ground.folder, '../outside.wav'))
  ground.recipe('audio/bottom.wav', '../outside.wav')
}

/** The good song, made once and copied for each case. */
export interface Grounds {
  make(): Ground & { remove(): void }
  remove(): void
}

export const openGrounds = (): Grounds => {
  const home = mkdtempSync(join(tmpdir(), 'sumwell-robust-'))
  chmodSync(home, 0o755) // for the cases in which somebody else calls
  const model = join(home, 'model')
  mkdirSync(join(model, 'audio'), { recursive: true })
  const paths = [
    { lateSamples: 0, gain: 1, noise: 1e-4 },
    { lateSamples: 7, gain: -0.6, noise: 1e-4 },
  ]
  recorded(paths, SECONDS, RATE_HZ, 12).forEach((samples, i) => {
    writeFileSync(join(model, `audio/${i === 0 ? 'top' : 'bottom'}.wav`), waveBytes([samples], RATE_HZ))
  })
  writeFileSync(join(model, 'song.yaml'), RECIPE)
  let made = 0
  return {
    make: () => {
      const folder = join(home, `case-${made++}`, 'song')
      cpSync(model, folder, { recursive: true })
      const put = (name: string, content: string | Uint8Array): string => {
        mkdirSync(dirname(join(folder, name)), { recursive: true })
        writeFileSync(join(folder, name), content)
        return join(folder, name)
      }
      return {
        folder,
        put,
        path: name => join(folder, name),
        recipe: (from, to, name = 'song.yaml') => {
          if (!RECIPE.includes(from)) throw new Error(`the recipe has no ${from}`)
          put(name, RECIPE.replace(from, to))
        },
        remove: () => {
          rmSync(dirname(folder), { recursive: true, force: true })
        },
      }
    },
    remove: () => {
      rmSync(home, { recursive: true, force: true })
    },
  }
}
