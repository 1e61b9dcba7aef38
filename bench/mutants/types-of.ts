import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import ts from 'typescript'
import { type Mutant, mutated } from './mutant.js'

/**
 * Says whether the compiler refuses a mutant, looking at the mutated file alone. Such a mutant could never be built: it counts
 * neither as killed nor as survived. Unused names and dead code are let pass, since they say nothing about behaviour.
 */
export const compilerOf = (root: string): ((mutant: Mutant) => boolean) => {
  const read = ts.readConfigFile(join(root, 'tsconfig.json'), path => readFileSync(path, 'utf8'))
  const { options } = ts.parseJsonConfigFileContent(read.config, ts.sys, root)
  const changed = new Map<string, { version: number; text: string }>()
  let files: string[] = []
  const lenient = { noUnusedLocals: false, noUnusedParameters: false, allowUnreachableCode: true }
  const service = ts.createLanguageService(
    {
      getCompilationSettings: () => ({ ...options, ...lenient, noImplicitReturns: false }),
      getScriptFileNames: () => files,
      getScriptVersion: path => String(changed.get(path)?.version ?? 0),
      getScriptSnapshot: path => {
        const text = changed.get(path)?.text ?? ts.sys.readFile(path)
        return text === undefined ? undefined : ts.ScriptSnapshot.fromString(text)
      },
      getCurrentDirectory: () => root,
      getDefaultLibFileName: ts.getDefaultLibFilePath,
      fileExists: path => ts.sys.fileExists(path),
      readFile: path => ts.sys.readFile(path),
      readDirectory: (...asked) => ts.sys.readDirectory(...asked),
      directoryExists: path => ts.sys.directoryExists(path),
      getDirectories: path => ts.sys.getDirectories(path),
    },
    ts.createDocumentRegistry(),
  )
  return mutant => {
    const path = join(root, mutant.file)
    const text = readFileSync(path, 'utf8')
    files = [path]
    changed.set(path, { version: (changed.get(path)?.version ?? 0) + 1, text: mutated(text, mutant) })
    const refused =
      service.getSyntacticDiagnostics(path).length + service.getSemanticDiagnostics(path).length > 0
    changed.set(path, { version: (changed.get(path)?.version ?? 0) + 1, text })
    return refused
  }
}
