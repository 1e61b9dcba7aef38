import path from 'node:path'
import { loadSession } from '../../recipe/load-session.js'
import type { Session, SessionGroup } from '../../recipe/session.js'
import { SumwellError } from '../../terms/fault.js'
import { probeWave } from '../../wave/probe.js'
import { findRecipes } from '../album/find-recipes.js'

/** Another recording between which and this one nothing was moved, as its recipe has it. */
export interface SetupTake {
  readonly song: string
  readonly take: string | null
  /** Groups that are pooled with it. */
  readonly groups: ReadonlySet<string>
  /** Null where it cannot be loaded. */
  readonly session: Session | null
  /** What kept it; null where nothing did. */
  readonly why: string | null
}

/**
 * The other takes that a song is pooled with: those that its recipe lists, and all of the recipes of the same setup, each with the takes that it
 * lists itself. The order depends on names alone. A take that is listed but not the one at hand is none that pools: where the
 * one at hand is not in the list, it is measured by itself.
 */
export const setupTakes = async (session: Session): Promise<readonly SetupTake[]> => {
  const pooled = session.groups.filter(({ setup }) => setup !== null)
  if (pooled.length === 0) return []
  const own = await takesOf(session, session, ({ setup }) => listsTake(setup, session.take))
  const folders = new Set(pooled.flatMap(({ setup }) => setup?.folder ?? []))
  const others: SetupTake[] = []
  for (const folder of [...folders].sort()) {
    for (const recipe of await recipesIn(folder)) {
      if (path.resolve(recipe) === session.recipeFile) continue
      if (others.some(other => other.session?.recipeFile === path.resolve(recipe))) continue
      others.push(...(await takesOfRecipe(recipe, session)))
    }
  }
  return [...own, ...others]
}

/** What a folder holds; nothing where it holds no recipe that would be found by itself, as with one that is under a hidden name. */
const recipesIn = (folder: string): Promise<readonly string[]> => findRecipes([folder]).catch(() => [])

const listsTake = (setup: SessionGroup['setup'], take: string | null): boolean =>
  setup !== null && take !== null && setup.takes.includes(take)

/** The takes that a recipe lists, but for the one that it is loaded with. */
const takesOf = async (
  session: Session,
  present: Session,
  isPooled: (group: SessionGroup) => boolean,
): Promise<readonly SetupTake[]> => {
  const groups = session.groups.filter(isPooled)
  const takes = new Set(groups.flatMap(({ setup }) => setup?.takes ?? []))
  takes.delete(session.take ?? '')
  return Promise.all(
    [...takes].sort().map(async (take): Promise<SetupTake> => {
      const names = new Set(groups.filter(({ setup }) => setup?.takes.includes(take)).map(({ name }) => name))
      const about = { song: session.song, take, groups: names }
      try {
        return { ...about, session: await loaded(session.recipeFile, present, take), why: null }
      } catch (error) {
        return { ...about, session: null, why: whyOf(error) }
      }
    }),
  )
}

/** What a recipe has of the setups of a song; nothing where it has none, or is wrong: whoever renders it is told. */
const takesOfRecipe = async (recipe: string, present: Session): Promise<readonly SetupTake[]> => {
  const session = await loaded(recipe, present, undefined).catch(() => null)
  if (session === null) return []
  const setups = new Map(present.groups.map(({ name, setup }) => [name, setup?.name ?? null]))
  const isSameSetup = ({ name, setup }: SessionGroup): boolean =>
    setup !== null && setup.name !== null && setup.name === setups.get(name)
  const groups = new Set(session.groups.filter(isSameSetup).map(({ name }) => name))
  if (groups.size === 0) return []
  const { song, take } = session
  const more = await takesOf(session, present, group => isSameSetup(group) && listsTake(group.setup, take))
  return [{ song, take, groups, session, why: null }, ...more]
}

const loaded = (recipe: string, present: Session, take: string | undefined): Promise<Session> => {
  const allowOutside = present.groups.some(({ setup }) => setup?.allowOutside === true)
  return loadSession(path.resolve(recipe), { allowOutside, probe: probeWave, take })
}

const whyOf = (error: unknown): string => {
  if (!(error instanceof SumwellError)) throw error
  const [first] = error.faults
  return first === undefined ? 'it cannot be read' : first.message
}
