import { mkdtempSync, realpathSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { onTestFinished } from 'vitest'
import { loadSession } from '../../src/recipe/load-session.js'
import type { RecipeFiles } from '../../src/recipe/recipe-files.js'
import type { Session, WaveFacts } from '../../src/recipe/session.js'
import { type Fault, SumwellError } from '../../src/terms/fault.js'

/** Half a minute of mono 24-bit sound at 48 kHz. */
export const MONO: WaveFacts = {
  sampleRateHz: 48000,
  channels: 1,
  frames: 48000 * 30,
  bitDepth: 24,
  sampleFormat: 'int',
  stampSamples: null,
}

/** Every `.wav` is there and a file of its own, every folder is there, what lies in `stems` is not yet. */
export const everythingThere: RecipeFiles = {
  kindOf: path => (path.includes('/stems/') ? 'missing' : /\.\w+$/.test(path) ? 'file' : 'folder'),
  identityOf: path => (path.includes('/stems') ? null : path),
  realPath: path => path,
  namesIn: () => [],
}

export interface Trial {
  /** Further files beside the recipe, by name. */
  readonly beside?: Readonly<Record<string, string>>
  readonly facts?: (path: string) => WaveFacts
  readonly files?: RecipeFiles
  readonly allowOutside?: boolean
  readonly take?: string
}

/** A folder of this test alone, removed when the test is over. */
export const testFolder = (): string => {
  const folder = realpathSync(mkdtempSync(join(tmpdir(), 'sumwell-recipe-')))
  onTestFinished(() => {
    rmSync(folder, { recursive: true })
  })
  return folder
}

/** Loads a recipe given as text, from a folder of its own that is removed afterwards. */
export const load = async (text: string | Buffer, trial: Trial = {}): Promise<Session> => {
  const folder = mkdtempSync(join(tmpdir(), 'sumwell-recipe-'))
  try {
    const path = join(folder, 'song.yaml')
    writeFileSync(path, text)
    for (const [name, content] of Object.entries(trial.beside ?? {}))
      writeFileSync(join(folder, name), content)
    return await loadFile(path, { files: everythingThere, ...trial })
  } finally {
    rmSync(folder, { recursive: true })
  }
}

/** Loads a recipe that lies on the disk. */
export const loadFile = (path: string, trial: Trial = {}): Promise<Session> =>
  loadSession(path, {
    probe: absolute => ({ facts: (trial.facts ?? (() => MONO))(absolute) }),
    allowOutside: trial.allowOutside ?? false,
    take: trial.take,
    ...(trial.files === undefined ? {} : { files: trial.files }),
  })

/** The faults of a recipe given as text; none where it is right. */
export const faultsOf = async (text: string | Buffer, trial: Trial = {}): Promise<readonly Fault[]> => {
  try {
    await load(text, trial)
    return []
  } catch (error) {
    if (error instanceof SumwellError) return error.faults
    throw error
  }
}

/** The text over the caret. */
export const underCaret = (fault: Fault): string => {
  const { place } = fault
  if (place === null) return ''
  return Array.from(place.sourceLine)
    .slice(place.column - 1, place.column - 1 + place.length)
    .join('')
}
