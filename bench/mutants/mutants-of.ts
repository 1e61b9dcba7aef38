import ts from 'typescript'
import { changesOf } from './changes.js'
import type { Mutant } from './mutant.js'

/** Every mutant of one file, in the order of the text. Types, imports and what is said to the linter have none. */
export const mutantsOf = (file: string, text: string): Mutant[] => {
  const tree = ts.createSourceFile(file, text, ts.ScriptTarget.ES2022, true)
  const mutants: Mutant[] = []
  const visit = (node: ts.Node): void => {
    if (ts.isTypeNode(node) || ts.isImportDeclaration(node) || ts.isExportDeclaration(node)) return
    if (ts.isInterfaceDeclaration(node) || ts.isTypeAliasDeclaration(node)) return
    for (const { kind, of, to } of changesOf(node)) {
      const start = of.getStart(tree)
      const former = text.slice(start, of.end)
      if (former === to) continue
      const { line } = tree.getLineAndCharacterOfPosition(start)
      mutants.push({ file, line: line + 1, start, end: of.end, kind, former, replacement: to })
    }
    ts.forEachChild(node, visit)
  }
  visit(tree)
  return mutants
}
