import { linkSync, mkdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs'
import path from 'node:path'
import { material } from '../rendering/material.js'
import { medianOf, timed } from '../rendering/timed.js'

/** What a call about many songs costs beside the work for each. */
export interface Overheads {
  /** To find a song, read its recipe and the headers of its recordings, milliseconds of processor time. */
  readonly loadMs: number
  /** Of the summary, per song, bytes. */
  readonly jsonBytes: number
  readonly pageBytes: number
}

const SOURCES = 16
const FEW = 4
const MANY = 1000
const program = path.resolve('dist/cli/main.js')

/** An album of so many songs, each with recordings under names of its own. */
const album = (songs: number): string => {
  const { folder: song, sources, recipe } = material(SOURCES, 2)
  const folder = path.resolve('.cache/bench', `album-of-${songs}`)
  rmSync(folder, { recursive: true, force: true })
  for (let n = 0; n < songs; n++) {
    const own = path.join(folder, `song-${n}`)
    mkdirSync(own, { recursive: true })
    for (const file of sources) linkSync(file, path.join(own, path.relative(song, file)))
    writeFileSync(
      path.join(own, 'recipe.yaml'),
      readFileSync(recipe, 'utf8').replace(/^song: .*$/m, `song: Song ${n}`),
    )
  }
  return folder
}

/** Processor seconds of one shard of as many as there are songs: all are looked at, and one is planned. */
const oneOf = (folder: string, songs: number, rounds: number): number =>
  medianOf(
    Array.from({ length: rounds }, () => {
      const shard = ['--shard', `${songs}/${songs}`, '--dry-run', '--jobs', '1', '--quiet']
      return timed(process.execPath, [program, 'render', folder, ...shard]).processorSeconds
    }),
  )

export const overheads = (rounds: number): Overheads => {
  const few = album(FEW)
  const many = album(MANY)
  const loadSeconds = oneOf(many, MANY, rounds) - oneOf(few, FEW, rounds)
  timed(process.execPath, [program, 'render', few, '--jobs', '1', '--quiet', '--no-audio'])
  const bytesOf = (name: string): number => statSync(path.join(few, name)).size / FEW
  const found = {
    loadMs: (1000 * loadSeconds) / (MANY - FEW),
    jsonBytes: bytesOf('album.json'),
    pageBytes: bytesOf('album.html'),
  }
  rmSync(few, { recursive: true, force: true })
  rmSync(many, { recursive: true, force: true })
  return found
}
