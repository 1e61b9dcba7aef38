import { dirname, isAbsolute, join, resolve } from 'node:path'
import type { FolderTree } from './folder-tree.js'
import { inherit } from './inherit.js'
import { type LocatedMap, type Span, textOf } from './located.js'
import type { RecipeFaults } from './recipe-faults.js'
import { readSource } from './text/read-source.js'
import type { SourceText } from './text/source-text.js'
import { yamlDocument } from './text/yaml-document.js'
import { yamlWalk } from './text/yaml-walk.js'

/** Number of recipes that may inherit from each other in a row, the first included. */
export const MAX_CHAIN = 8

/**
 * Reads a recipe and all that it inherits from, as one tree in which every value knows its file. Null where the text of one of
 * them cannot be read as values; the faults say why.
 */
export const loadTree = (
  path: string,
  shown: string,
  tree: FolderTree,
  faults: RecipeFaults,
): LocatedMap | null => loadWithBase(path, shown, [], { tree, faults })

interface Reach {
  readonly tree: FolderTree
  readonly faults: RecipeFaults
}

interface Link {
  readonly path: string
  readonly realPath: string
}

const loadWithBase = (
  path: string,
  shown: string,
  chain: readonly Link[],
  reach: Reach,
): LocatedMap | null => {
  const source = readSource(path, shown)
  if ('code' in source) {
    reach.faults.take(source)
    return null
  }
  const own = readMap(source, reach.faults)
  if (own === null) return null
  if (chain.length > 0) checkVersion(own, source, reach.faults)

  const baseNode = own.entries.get('base')
  const baseText = textOf(baseNode?.value)
  if (baseNode === undefined || baseText === undefined || baseText === '') return own
  const link = { path, realPath: reach.tree.realPath(path) }
  const basePath = checkedBase(baseText, baseNode.value.at, [...chain, link], reach)
  if (basePath === null) return null
  const baseShown = isAbsolute(baseText) ? baseText : join(dirname(shown), baseText)
  const base = loadWithBase(basePath, baseShown, [...chain, link], reach)
  return base === null ? null : inherit(base, own)
}

const readMap = (source: SourceText, faults: RecipeFaults): LocatedMap | null => {
  const contents = yamlDocument(source, faults)
  if (contents === null) return null
  const root = yamlWalk(contents, source, faults)
  if (root.kind === 'map') return root
  if (root.kind !== 'broken') {
    faults.add('RECIPE_TYPE', 'this is no recipe', root.at, {
      expected: 'lines such as  song: Lantern Street',
      mend: 'start from one of the recipes in recipes/',
    })
  }
  return null
}

/** A base is a recipe of the same version; the recipe's own version is looked at with the rest of its shape. */
const checkVersion = (base: LocatedMap, source: SourceText, faults: RecipeFaults): void => {
  const version = base.entries.get('recipe')
  if (version === undefined) {
    faults.add(
      'RECIPE_MISSING_KEY',
      'the base has no recipe',
      { source, start: base.at.start, end: base.at.start + 1 },
      {
        expected: 'recipe: 1',
        mend: 'add  recipe: 1  as its first line',
      },
    )
  } else if (version.value.kind === 'scalar' && version.value.value !== 1) {
    faults.add('RECIPE_VALUE', `recipe cannot be ${version.value.typed}`, version.value.at, {
      expected: '1',
      mend: 'write  recipe: 1',
    })
  }
}

/** Absolute path of a base that may be read, or null with a fault. */
const checkedBase = (text: string, at: Span, chain: readonly Link[], reach: Reach): string | null => {
  const { tree, faults } = reach
  const path = resolve(dirname(at.source.path), text)
  if (!tree.holds(path)) {
    faults.add('RECIPE_OUTSIDE', 'the base lies outside the folder of the recipe', at, {
      expected: "a file in the recipe's folder or below it",
      mend: 'move it there, or allow it with --allow-outside',
    })
    return null
  }
  const kind = tree.files.kindOf(path)
  if (kind !== 'file') {
    const nearest = tree.nearestFile(path, text)
    faults.add(
      'RECIPE_BASE',
      kind === 'missing' ? 'there is no such base' : 'the base is no file that can be read',
      at,
      {
        expected: 'a recipe, as a path relative to this file',
        nearest,
        mend: nearest === null ? 'check the path' : `write ${nearest}`,
      },
    )
    return null
  }
  if (chain.some(link => link.realPath === tree.realPath(path))) {
    faults.add('RECIPE_BASE', 'recipes that inherit from each other in a circle', at, {
      expected: 'a base that does not lead back to this recipe',
      mend: 'remove one base: of the circle',
    })
    return null
  }
  if (chain.length >= MAX_CHAIN) {
    faults.add('RECIPE_BASE', `more than ${MAX_CHAIN} recipes inherit from each other in a row`, at, {
      mend: 'put the settings of some of them into one file',
    })
    return null
  }
  return path
}
