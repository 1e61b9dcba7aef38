import { cpSync, mkdtempSync, realpathSync, rmSync, symlinkSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { basename, join, resolve } from 'node:path'

/**
 * A copy of the project in which files may be broken: tests that start programs of their own see the mutant too.
 * @returns its folder, and how to be rid of it
 */
export const openSandbox = (): { readonly root: string; readonly close: () => void } => {
  const home = resolve('.')
  const root = realpathSync(mkdtempSync(join(tmpdir(), 'sumwell-mutants-')))
  const left = new Set(['node_modules', '.git', '.cache', 'coverage', 'stems'])
  cpSync(home, root, { recursive: true, filter: from => from === home || !left.has(basename(from)) })
  symlinkSync(join(home, 'node_modules'), join(root, 'node_modules'))
  return {
    root,
    close: () => {
      rmSync(root, { recursive: true, force: true })
    },
  }
}
