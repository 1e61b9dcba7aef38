/**
 * Lists the functions and classes that src exports without a docstring; the status is 1 where there is one. `npm run docstrings`.
 * Not asked of commands, whose help says what they do, nor of the verdicts' reasons, which are the sentences themselves.
 */
import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import ts from 'typescript'

const isFunction = (node: ts.Expression | undefined): boolean =>
  node !== undefined && (ts.isArrowFunction(node) || ts.isFunctionExpression(node))

/** Exported functions and classes of a file that have no docstring, as "file:line name". */
const undocumented = (file: string): readonly string[] => {
  const source = ts.createSourceFile(file, readFileSync(file, 'utf8'), ts.ScriptTarget.ES2022, true)
  return source.statements.flatMap(statement => {
    const modifiers = ts.canHaveModifiers(statement) ? (ts.getModifiers(statement) ?? []) : []
    if (!modifiers.some(({ kind }) => kind === ts.SyntaxKind.ExportKeyword)) return []
    if (ts.getJSDocCommentsAndTags(statement).length > 0) return []
    const place = `${file}:${source.getLineAndCharacterOfPosition(statement.getStart()).line + 1}`
    if (ts.isFunctionDeclaration(statement) || ts.isClassDeclaration(statement))
      return [`${place} ${statement.name?.text ?? ''}`]
    if (!ts.isVariableStatement(statement)) return []
    return statement.declarationList.declarations.flatMap(({ name, initializer }) =>
      isFunction(initializer) ? [`${place} ${name.getText()}`] : [],
    )
  })
}

const EXEMPT = /^cli\/commands\/|^measure\/verdict\/reasons\.ts$|generated|\.d\.ts$/

const files = readdirSync('src', { recursive: true, encoding: 'utf8' })
  .filter(name => name.endsWith('.ts') && !EXEMPT.test(name))
  .sort()
const found = files.flatMap(name => undocumented(join('src', name)))
for (const one of found) process.stdout.write(`${one}\n`)
if (found.length > 0) process.exitCode = 1
