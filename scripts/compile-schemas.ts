/**
 * Compiles the JSON Schemas ahead of time. Every schema in schemas/ is compiled, so that a misspelt keyword stops the build;
 * those of recipe and report become programs of their own in generated/, because starting with ready code is some 35 times
 * faster than compiling at run time. Nothing that this writes is kept in version control.
 */
import { mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { Ajv2020, type AnySchemaObject } from 'ajv/dist/2020.js'
import { default as standalone } from 'ajv/dist/standalone/index.js'
import { build } from 'esbuild'
import { AJV_OPTIONS } from './schema-options.js'

const root = join(import.meta.dirname, '..')

/** Schemas whose validator is part of the program, with the place where it goes. */
const BUNDLED: Readonly<Record<string, string>> = {
  'album.schema.json': 'src/report/generated/album-validator',
  'recipe.schema.json': 'src/recipe/generated/recipe-validator',
  'report.schema.json': 'src/report/generated/report-validator',
  'lock.schema.json': 'src/lock/generated/lock-validator',
}

const TYPES = `import type { ErrorObject } from 'ajv'
export interface Validate { (data: unknown): boolean; errors?: null | ErrorObject[] }
declare const validate: Validate
export default validate
`

/** ajv joins lists of errors by copying, which takes seconds for a recipe with tens of thousands of faults: append instead. */
const withLinearErrors = (code: string): string => {
  const joined = code.replace(/vErrors\.concat\((\w+\.errors)\)/g, 'appendErrors(vErrors, $1)')
  if (joined === code && code.includes('.concat('))
    throw new Error('the way in which ajv joins errors has changed')
  return `${joined}\nfunction appendErrors(to, more) { for (const error of more) to.push(error); return to }\n`
}

const compile = async (fileName: string): Promise<void> => {
  const schema = JSON.parse(readFileSync(join(root, 'schemas', fileName), 'utf8')) as AnySchemaObject
  const ajv = new Ajv2020({ ...AJV_OPTIONS, code: { source: true, esm: true } })
  const validate = ajv.compile(schema)
  const target = BUNDLED[fileName]
  if (target === undefined) return
  // ajv's "ESM" still requires its run-time parts: bundle them in.
  const contents = withLinearErrors(standalone.default(ajv, validate))
  const outfile = join(root, `${target}.js`)
  mkdirSync(dirname(outfile), { recursive: true })
  await build({
    stdin: { contents, resolveDir: root, loader: 'js' },
    bundle: true,
    format: 'esm',
    platform: 'neutral',
    target: 'es2022',
    // A program that nobody reads, and the largest file of the package.
    minify: true,
    outfile,
    logLevel: 'warning',
  })
  writeFileSync(join(root, `${target}.d.ts`), TYPES)
}

const schemas = readdirSync(join(root, 'schemas')).filter(name => name.endsWith('.schema.json'))
for (const fileName of schemas.sort()) {
  try {
    await compile(fileName)
  } catch (cause) {
    throw new Error(`schemas/${fileName} does not compile: ${(cause as Error).message}`, { cause })
  }
}
