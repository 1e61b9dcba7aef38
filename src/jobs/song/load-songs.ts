import { loadSession } from '../../recipe/load-session.js'
import type { Session } from '../../recipe/session.js'
import { type Fault, fault, SumwellError } from '../../terms/fault.js'
import { asSumwellError } from '../../terms/internal.js'
import { probeWave } from '../../wave/probe.js'

export interface LoadSongs {
  /** Recordings, bases and targets may lie outside each recipe's folder tree. */
  readonly allowOutside: boolean
  /** Used instead of each recipe's take; null = the recipe's. */
  readonly take?: string | null
  /** Each song needs a folder of delivery of its own: where something will be written. */
  readonly ownFolders: boolean
}

export interface LoadedSongs {
  /** In the order of the recipes. */
  readonly sessions: readonly Session[]
  /** Recipes that are wrong, each with all its faults: their songs are left out. */
  readonly wrong: readonly { readonly recipe: string; readonly faults: readonly Fault[] }[]
}

/**
 * The sessions of several recipes.
 * @throws SumwellError RECIPE_FOLDER_TWICE: of two songs that would be in each other's way neither is the right one to leave out
 */
export const loadSongs = async (
  recipes: readonly string[],
  { allowOutside, ownFolders, take = null }: LoadSongs,
): Promise<LoadedSongs> => {
  const sessions: Session[] = []
  const wrong: { recipe: string; faults: readonly Fault[] }[] = []
  for (const recipe of recipes) {
    try {
      sessions.push(await loadSession(recipe, { allowOutside, probe: probeWave, take: take ?? undefined }))
    } catch (error) {
      wrong.push({ recipe, faults: asSumwellError(error, `reading ${recipe}`).faults })
    }
  }
  const shared = ownFolders ? sharedFolders(sessions) : []
  if (shared.length > 0) throw new SumwellError([...wrong.flatMap(({ faults }) => faults), ...shared])
  return { sessions, wrong }
}

/** Two songs in one folder would replace each other's report, and perhaps stems. */
const sharedFolders = (sessions: readonly Session[]): readonly Fault[] => {
  const taken = new Map<string, Session>()
  return sessions.flatMap(session => {
    const other = taken.get(session.deliver.folder)
    if (other === undefined) {
      taken.set(session.deliver.folder, session)
      return []
    }
    const again = other.recipeFile === session.recipeFile
    const what = again
      ? 'this recipe is given twice'
      : `it delivers to the same folder as ${other.recipeShown}`
    return [
      fault('RECIPE_FOLDER_TWICE', what, {
        file: session.recipeShown,
        mend: again ? 'give it once' : 'choose a deliver: folder of its own for each song',
      }),
    ]
  })
}
