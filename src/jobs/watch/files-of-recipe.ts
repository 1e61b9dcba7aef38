import { resolve } from 'node:path'
import { loadSession } from '../../recipe/load-session.js'
import { diskFiles } from '../../recipe/recipe-files.js'
import { probeWave } from '../../wave/probe.js'
import { isRecordingName } from '../../wave/recording-name.js'

export interface FilesOfRecipe {
  /** The recipe itself and what it inherits from: absolute. */
  readonly texts: ReadonlySet<string>
  /** Every file that it names, also those that are not there: absolute. */
  readonly recordings: ReadonlySet<string>
}

/**
 * All files that the outcome of a recipe hangs on: whatever reading it asks the disk for. A recipe that is wrong still tells those that
 * were found before its fault.
 */
export const filesOfRecipe = async (
  recipe: string,
  options: { readonly allowOutside: boolean; readonly take?: string | undefined },
): Promise<FilesOfRecipe> => {
  const texts = new Set([resolve(recipe)])
  const recordings = new Set<string>()
  const files: typeof diskFiles = {
    ...diskFiles,
    kindOf: path => {
      const kind = diskFiles.kindOf(path)
      // The folder of delivery is asked for too: what is written must not count as a change.
      if (/\.ya?ml$/i.test(path)) texts.add(resolve(path))
      else if (kind === 'file' || isRecordingName(path)) recordings.add(resolve(path))
      return kind
    },
  }
  try {
    await loadSession(recipe, { ...options, files, probe: probeWave })
  } catch {
    // told by whoever renders it
  }
  return { texts, recordings }
}
