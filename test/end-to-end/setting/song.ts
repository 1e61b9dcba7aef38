import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { recorded } from './sound.js'
import { waveBytes } from './wave-bytes.js'

export const SAMPLE_RATE_HZ = 48_000

/** What was put in: frames late against the reference of its group, and which way round. */
export const TRUTH = {
  bridge: { lagSamples: 95.5, polarity: 'normal' },
  room: { lagSamples: 364, polarity: 'inverted' },
  bottom: { lagSamples: 7, polarity: 'inverted' },
} as const

const RECIPE = `recipe: 1
song: Short Song
take: 2
groups:
  bass:
    reference: piezo
    sources:
      piezo: { file: "audio/piezo.wav", via: pickup }
      bridge: { file: "audio/bridge.wav", via: mic }
      room: { file: "audio/room.wav", via: mic }
    blends:
      both: { parts: { piezo: 55, bridge: 45 } }
      all: { parts: { piezo: 0 dB, bridge: -2 dB, room: -9 dB }, match: none }
  snare:
    reference: top
    sources:
      top: { file: "audio/top.wav", via: mic }
      bottom: { file: "audio/bottom.wav", via: mic }
    blends:
      snare: { parts: { top: 60, bottom: 40 } }
deliver: { folder: stems }
`

export interface Song {
  readonly folder: string
  readonly recipe: string
  readonly recipeText: string
  /** Writes another file beside the recipe; gives its path. */
  write(name: string, content: string | Buffer): string
  remove(): void
}

/** A folder with the short song: five recordings of a few seconds and their recipe. */
export const makeSong = (seconds = 6): Song => {
  const folder = mkdtempSync(join(tmpdir(), 'sumwell-song-'))
  const write = (name: string, content: string | Buffer) => {
    const path = join(folder, name)
    writeFileSync(path, content)
    return path
  }
  mkdirSync(join(folder, 'audio'))
  const bass = [
    { lateSamples: 0, gain: 1, noise: 1e-4 },
    { lateSamples: TRUTH.bridge.lagSamples, gain: 0.7, noise: 1e-4 },
    { lateSamples: TRUTH.room.lagSamples, gain: -0.4, noise: 3e-4 },
  ]
  const snare = [
    { lateSamples: 0, gain: 1, noise: 1e-4 },
    { lateSamples: TRUTH.bottom.lagSamples, gain: -0.6, noise: 1e-4 },
  ]
  const names = ['piezo', 'bridge', 'room', 'top', 'bottom']
  const sounds = [
    ...recorded(bass, seconds, SAMPLE_RATE_HZ, 11),
    ...recorded(snare, seconds, SAMPLE_RATE_HZ, 12),
  ]
  sounds.forEach((samples, i) => {
    write(`audio/${names[i] ?? ''}.wav`, waveBytes([samples], SAMPLE_RATE_HZ))
  })
  const recipe = write('recipe.yaml', RECIPE)
  return {
    folder,
    recipe,
    recipeText: RECIPE,
    write,
    remove: () => {
      rmSync(folder, { recursive: true, force: true })
    },
  }
}
