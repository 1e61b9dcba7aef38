import { readdirSync, realpathSync, statSync } from 'node:fs'
import { basename, dirname, join } from 'node:path'

/** What the recipe room asks the file system about recordings and targets. Given from outside in tests. */
export interface RecipeFiles {
  kindOf(path: string): 'file' | 'folder' | 'other' | 'missing' | 'unreadable'
  /** The same for two paths exactly if they are one file; null where there is none. */
  identityOf(path: string): string | null
  /** The path with all links resolved; of a path that does not exist, the nearest existing parent is resolved. */
  realPath(path: string): string
  /** Names in a folder; empty where it cannot be read. */
  namesIn(folder: string): readonly string[]
}

export const diskFiles: RecipeFiles = {
  kindOf: path => {
    try {
      const facts = statSync(path)
      return facts.isFile() ? 'file' : facts.isDirectory() ? 'folder' : 'other'
    } catch (cause) {
      const code = (cause as NodeJS.ErrnoException).code
      return code === 'ENOENT' || code === 'ENOTDIR' ? 'missing' : 'unreadable'
    }
  },
  identityOf: path => {
    try {
      const facts = statSync(path, { bigint: true })
      return `${facts.dev}:${facts.ino}`
    } catch {
      return null
    }
  },
  realPath: path => {
    try {
      return realpathSync.native(path)
    } catch {
      const parent = dirname(path)
      return parent === path ? path : join(diskFiles.realPath(parent), basename(path))
    }
  },
  namesIn: folder => {
    try {
      return readdirSync(folder)
    } catch {
      return []
    }
  },
}
