/**
 * Writes docs/recipe.md from schemas/recipe.schema.json, so that the page says what the schema says. With --check nothing is
 * written; the status is 1 where the page is stale.
 */
import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { AFTER, BEFORE } from './recipe-docs-prose.js'
import { type SchemaNode, sectionOf, sectionsBelow } from './recipe-docs-tables.js'

const root = join(import.meta.dirname, '..')
const target = join(root, 'docs', 'recipe.md')
const schema = JSON.parse(readFileSync(join(root, 'schemas', 'recipe.schema.json'), 'utf8')) as SchemaNode

const tables = sectionsBelow(schema).map(section => sectionOf(section, schema))
const page = [BEFORE.trim(), ...tables, AFTER.trim()].join('\n\n').concat('\n')

if (process.argv.includes('--check')) {
  let present = ''
  try {
    present = readFileSync(target, 'utf8')
  } catch {
    // Not there is stale too.
  }
  if (present !== page) {
    process.stderr.write('docs/recipe.md is stale: run  npm run docs  and commit the result\n')
    process.exitCode = 1
  }
} else writeFileSync(target, page)
