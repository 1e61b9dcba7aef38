import { chmodSync, cpSync, mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { recipeOfTwo } from '../setting/recipe-of-two.js'
import { recorded } from '../setting/sound.js'
import { main, root } from '../setting/sumwell.js'
import { waveBytes } from '../setting/wave-bytes.js'

const RATE_HZ = 16_000
const SECONDS = 1

const RECIPE = `recipe: 1
song: Lantern Street
take: 4
groups:
  upright-bass:
    reference: piezo
    sources:
      piezo: { file: "audio/take-{take}/piezo.wav", via: pickup }
      bridge: { file: "audio/take-{take}/bridge.wav", via: mic }
    blends:
      bass: { parts: { piezo: 55, bridge: 45 } }
  snare:
    reference: top
    sources:
      top: { file: "audio/take-{take}/top.wav", via: mic }
      bottom: { file: "audio/take-{take}/bottom.wav", via: mic }
    blends:
      snare: { parts: { top: 60, bottom: 40 } }
deliver: { folder: "stems/{song}-take{take}" }
`

export interface Studio {
  readonly folder: string
  /** For what runs in it: the built command as `sumwell`, a home and a cache of its own. */
  readonly environment: Readonly<Record<string, string | undefined>>
  path(...names: readonly string[]): string
  remove(): void
}

/** A folder in which everything lies that the pages speak of: a song of two takes, an album, recordings without a recipe. Short: this runs much. */
export const openStudio = (): Studio => {
  const folder = mkdtempSync(join(tmpdir(), 'sumwell-pages-'))
  const path = (...names: readonly string[]): string => join(folder, ...names)
  const made = (...names: readonly string[]): string => {
    mkdirSync(path(...names), { recursive: true })
    return path(...names)
  }
  const pair = (names: readonly [string, string], lateSamples: number, gain: number, seed: number): void => {
    const paths = [
      { lateSamples: 0, gain: 1, noise: 1e-4 },
      { lateSamples, gain, noise: 1e-4 },
    ]
    recorded(paths, SECONDS, RATE_HZ, seed).forEach((samples, i) => {
      writeFileSync(join(made('audio/take-4'), `${names[i]!}.wav`), waveBytes([samples], RATE_HZ))
    })
  }
  pair(['piezo', 'bridge'], 31.5, 0.7, 11)
  pair(['top', 'bottom'], 2, -0.6, 12)
  cpSync(path('audio/take-4'), path('audio/take-5'), { recursive: true })
  cpSync(path('audio/take-4/bridge.wav'), path('room.wav'))
  writeFileSync(path('song.yaml'), RECIPE)
  // the song of the program in docs/commands.md
  cpSync(path('audio'), path('program/lantern-street/audio'), { recursive: true })
  writeFileSync(path('program/lantern-street/recipe.yaml'), RECIPE)
  for (const name of ['rope-walk', 'lantern-street']) {
    const at = made('songs', name, 'audio/take-1')
    for (const source of ['piezo', 'bridge'])
      cpSync(path(`audio/take-4/${source}.wav`), join(at, `bass-${source}.wav`))
  }
  for (const song of ['songs/harbour', 'album/harbour', 'album/ferry']) {
    for (const source of ['top', 'bottom'])
      cpSync(path(`audio/take-4/${source}.wav`), join(made(song, 'audio'), `${source}.wav`))
    writeFileSync(path(song, 'recipe.yaml'), recipeOfTwo(song.replace(/.*\//, '')))
  }
  writeFileSync(join(made('bin'), 'sumwell'), `#!/bin/sh\nexec "${process.execPath}" "${main}" "$@"\n`)
  chmodSync(path('bin/sumwell'), 0o755)
  made('.local/share/bash-completion/completions')
  made('.config/fish/completions')
  made('zsh')
  symlinkSync(root, join(made('program/node_modules'), 'sumwell'))
  return {
    folder,
    path,
    environment: {
      ...process.env,
      PATH: `${path('bin')}:${process.env['PATH'] ?? ''}`,
      HOME: folder,
      ALBUM: path('album'),
      SHELL: '/bin/sh',
      NO_COLOR: '1',
      SUMWELL_CACHE: path('.cache'),
      // what an engine that runs jobs would set
      TASK_NUMBER: '2',
      INDEX: '0',
    },
    remove: () => {
      rmSync(folder, { recursive: true, force: true })
    },
  }
}
