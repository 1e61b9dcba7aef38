import { basename, dirname, isAbsolute, join, relative, sep } from 'node:path'
import { nearestOf } from '../terms/nearest.js'
import type { RecipeFiles } from './recipe-files.js'

/** The folder of a recipe with all below it: what a recipe may name without `--allow-outside`. */
export class FolderTree {
  private readonly realRoot: string

  constructor(
    readonly files: RecipeFiles,
    root: string,
    readonly allowOutside: boolean,
  ) {
    this.realRoot = files.realPath(root)
  }

  /** Whether the path may be used. Links are followed first: a link in the tree that points out of it is outside. */
  holds(path: string): boolean {
    if (this.allowOutside) return true
    const way = relative(this.realRoot, this.files.realPath(path))
    return way !== '..' && !way.startsWith(`..${sep}`) && !isAbsolute(way)
  }

  realPath(path: string): string {
    return this.files.realPath(path)
  }

  /** A text like `typed` that leads to an existing neighbour of a missing file; null where none is near. */
  nearestFile(path: string, typed: string): string | null {
    if (typed.includes('\\')) {
      const slashes = typed.replace(/\\/g, '/')
      if (this.files.kindOf(join(path.slice(0, path.length - typed.length), slashes)) === 'file')
        return slashes
    }
    const folder = dirname(path)
    if (!this.holds(folder)) return null
    const neighbour = nearestOf(basename(path), this.files.namesIn(folder))
    if (neighbour === null) return null
    const folderTyped = typed.slice(0, typed.lastIndexOf('/') + 1)
    return `${folderTyped}${neighbour}`
  }
}
