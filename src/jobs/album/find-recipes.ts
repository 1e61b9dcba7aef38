import { type Dirent, existsSync, readdirSync } from 'node:fs'
import { dirname, join, relative, resolve } from 'node:path'
import { fault, SumwellError } from '../../terms/fault.js'
import { headOf, isFolder } from '../../terms/plain-file.js'

/** Enough of a file to see whether it is a recipe: comments come before its first line. */
const LOOK_BYTES = 65_536
const DEEPEST = 6
/** A folder that holds one of these was written by a render. */
const DELIVERED = new Set(['report.json', 'SHA256SUMS'])

/**
 * The recipes that a command line names, in its order and each once: a file as it is, a folder for the recipes in it, a pattern for the
 * files that it matches (where the shell did not). What others inherit from is no song: in a folder or by a pattern it is left out.
 * @throws SumwellError USAGE_ARGUMENTS for a folder or a pattern without a recipe
 */
export const findRecipes = async (given: readonly string[]): Promise<readonly string[]> => {
  const seen = new Set<string>()
  const recipes: string[] = []
  for (const place of given) {
    const found = await searched(place)
    // What is typed twice is a slip of the hand, and told as one; what a folder or pattern finds again is not.
    const fresh = found === null ? [place] : found.filter(recipe => !seen.has(resolve(recipe)))
    for (const recipe of fresh) seen.add(resolve(recipe))
    recipes.push(...fresh)
  }
  return recipes
}

/** null for a path that is taken as it is. */
const searched = async (place: string): Promise<readonly string[] | null> => {
  if (isFolder(place)) return songsOf(place, recipesIn(place, DEEPEST))
  if (!existsSync(place) && /[*?[\]{}]/.test(place)) return songsOf(place, await matching(place))
  return null
}

const matching = async (pattern: string): Promise<readonly string[]> => {
  const { globSync } = await import('tinyglobby') // most calls name files
  return globSync(pattern, { expandDirectories: false, onlyFiles: true, caseSensitiveMatch: true }).filter(
    isRecipe,
  )
}

const recipesIn = (folder: string, depth: number): readonly string[] => {
  const entries = entriesOf(folder).filter(({ name }) => !name.startsWith('.'))
  if (entries.some(({ name }) => DELIVERED.has(name))) return []
  return entries.flatMap(entry => {
    const path = join(folder, entry.name)
    if (entry.isDirectory())
      return depth > 0 && entry.name !== 'node_modules' ? recipesIn(path, depth - 1) : []
    return isRecipe(path) ? [path] : []
  })
}

const entriesOf = (folder: string): readonly Dirent[] => {
  try {
    return readdirSync(folder, { withFileTypes: true })
  } catch (error) {
    throw new SumwellError(
      fault('RECIPE_UNREADABLE', 'the folder may not be read', {
        file: folder,
        mend: 'ask for the right to read it, or name the recipes themselves',
      }),
      error,
    )
  }
}

const isRecipe = (path: string): boolean =>
  /\.ya?ml$/i.test(path) && !/\.lock\.ya?ml$/i.test(path) && /^["']?recipe["']?\s*:/m.test(beginningOf(path))

/** By path, so that the order is the same on every disk; without those that another names as its base. */
const songsOf = (place: string, recipes: readonly string[]): readonly string[] => {
  const bases = new Set(
    recipes.flatMap(recipe => {
      const base = /^base\s*:\s*["']?([^"'#\n]+?)["']?\s*(#.*)?$/m.exec(beginningOf(recipe))?.[1]
      return base === undefined ? [] : [resolve(dirname(recipe), base)]
    }),
  )
  const songs = recipes.filter(recipe => !bases.has(resolve(recipe))).sort()
  if (songs.length > 0) return songs
  throw new SumwellError(
    fault('USAGE_ARGUMENTS', `no recipe is found by ${place}`, {
      file: place,
      expected: 'a recipe, a folder with recipes in it, or a pattern such as "songs/*/recipe.yaml"',
      mend: 'check the path; "sumwell init" writes a recipe',
    }),
  )
}

const beginningOf = (path: string): string => {
  try {
    return headOf(path, LOOK_BYTES).toString('utf8')
  } catch {
    return '' // what cannot be read is no recipe that a folder offers
  }
}

/** The deepest folder that holds all of several files; the present one where they have none but the root in common. */
export const commonFolder = (files: readonly string[]): string => {
  const ways = files.map(file => dirname(resolve(file)).split('/'))
  const [first = []] = ways
  const length = first.findIndex((part, i) => ways.some(way => way[i] !== part))
  const common = (length === -1 ? first : first.slice(0, length)).join('/')
  return common === '' ? process.cwd() : common
}

/** A path as it stands in a summary: relative to its folder, with forward slashes. */
export const fromFolder = (folder: string, path: string): string =>
  relative(folder, path).replaceAll('\\', '/')
