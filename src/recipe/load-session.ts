import { dirname, resolve } from 'node:path'
import { loadTree } from './base.js'
import { FolderTree } from './folder-tree.js'
import type { Probe } from './meaning/context.js'
import { sessionOf } from './meaning/session-of.js'
import { RecipeFaults } from './recipe-faults.js'
import { diskFiles, type RecipeFiles } from './recipe-files.js'
import type { Session } from './session.js'
import { checkShape } from './shape/check-shape.js'

export interface LoadOptions {
  /** Files, base and delivery folder may lie outside the recipe's folder tree. */
  readonly allowOutside?: boolean
  /** Used instead of the recipe's take. */
  readonly take?: string | undefined
  /** Tells the facts of a recording: the recipe room knows nothing of file formats. */
  readonly probe: Probe
  /** The file system, for tests. */
  readonly files?: RecipeFiles
}

/**
 * Reads a recipe and checks it whole: text, shape, meaning, and the headers of the recordings that it names. Nothing is written.
 * Throws one `SumwellError` with every fault found, in the order of file, line and column.
 */
export const loadSession = async (recipePath: string, options: LoadOptions): Promise<Session> => {
  const faults = new RecipeFaults()
  const recipeFile = resolve(recipePath)
  const tree = new FolderTree(options.files ?? diskFiles, dirname(recipeFile), options.allowOutside ?? false)
  const root = loadTree(recipeFile, recipePath, tree, faults)
  if (root === null) throw faults.error()
  checkShape(root, faults)
  const session = sessionOf(
    root,
    { recipeFile, recipeShown: recipePath },
    { faults, tree, probe: options.probe, take: options.take },
  )
  faults.throwIfAny()
  return Promise.resolve(session)
}
