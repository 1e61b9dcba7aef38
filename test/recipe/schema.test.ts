import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { Ajv2020 } from 'ajv/dist/2020.js'
import { expect, test } from 'vitest'
import { AJV_OPTIONS } from '../../scripts/schema-options.js'
import validate from '../../src/recipe/generated/recipe-validator.js'
import { plainOf } from '../../src/recipe/located.js'
import { RecipeFaults } from '../../src/recipe/recipe-faults.js'
import { SourceText } from '../../src/recipe/text/source-text.js'
import { yamlDocument } from '../../src/recipe/text/yaml-document.js'
import { yamlWalk } from '../../src/recipe/text/yaml-walk.js'
import { FAULT_CASES } from './fault-cases.js'

const root = join(import.meta.dirname, '../..')
const schema = JSON.parse(readFileSync(join(root, 'schemas/recipe.schema.json'), 'utf8')) as Record<
  string,
  unknown
>

/** Every piece of the schema, with its pointer. */
const pieces = (node: unknown, pointer = '#'): [string, Record<string, unknown>][] => {
  if (Array.isArray(node)) return node.flatMap((inner, index) => pieces(inner, `${pointer}/${index}`))
  if (node === null || typeof node !== 'object') return []
  const own = node as Record<string, unknown>
  return [
    [pointer, own],
    ...Object.entries(own).flatMap(([key, inner]) => pieces(inner, `${pointer}/${key}`)),
  ]
}

const valuesOfCases = (): unknown[] =>
  FAULT_CASES.flatMap(({ recipe }) => {
    const source = new SourceText('song.yaml', 'song.yaml', recipe.replace(/[«»]/g, ''))
    const faults = new RecipeFaults()
    const contents = yamlDocument(source, faults)
    return contents === null ? [] : [plainOf(yamlWalk(contents, source, faults))]
  })

test('the validator that is part of the program finds what the schema compiled at run time finds', () => {
  const slow = new Ajv2020(AJV_OPTIONS).compile(schema)
  const values = valuesOfCases()
  expect(values.length).toBeGreaterThan(80)
  const plain = (errors: typeof validate.errors): unknown =>
    (errors ?? []).map(({ instancePath, schemaPath, keyword, params, message, propertyName }) => ({
      ...{ instancePath, schemaPath, keyword, params, message, propertyName },
    }))
  let errors = 0
  for (const value of values) {
    expect(validate(value)).toBe(slow(value))
    expect(plain(validate.errors)).toEqual(plain(slow.errors))
    errors += slow.errors?.length ?? 0
  }
  expect(errors).toBeGreaterThan(80)
})

test('every key is titled and explained, and its examples and default are valid', () => {
  const ajv = new Ajv2020({ ...AJV_OPTIONS, allErrors: false })
  ajv.addSchema(schema, 'recipe')
  let examples = 0
  let keys = 0
  for (const [pointer, node] of pieces(schema)) {
    const isKey = /\/properties\/[^/]+$/.test(pointer) && !/\/\$defs\/complete|dependentSchemas/.test(pointer)
    if (isKey) {
      keys++
      const target = (node['$ref'] as string | undefined)?.replace('#/$defs/', '')
      const described = { ...(schema['$defs'] as Record<string, object>)[target ?? ''], ...node } as Record<
        string,
        unknown
      >
      expect([pointer, typeof described['title'], typeof described['description']]).toEqual([
        pointer,
        'string',
        'string',
      ])
      expect(String(described['description'])).toMatch(/\.$/)
    }
    const given = [
      ...((node['examples'] as unknown[] | undefined) ?? []),
      ...('default' in node ? [node['default']] : []),
    ]
    for (const example of given) {
      examples++
      const fits = ajv.compile({ $ref: `recipe${pointer}` })
      expect([pointer, example, fits(example)]).toEqual([pointer, example, true])
    }
  }
  expect(keys).toBeGreaterThan(35)
  expect(examples).toBeGreaterThan(40)
})

test('no pattern takes long on a long text', () => {
  const hostile = ['a', '1', ' ', '-', ':', '0:', '1.', '- ', '0:00-', '.'].map(piece => piece.repeat(10_000))
  let tried = 0
  for (const [, node] of pieces(schema)) {
    if (typeof node['pattern'] !== 'string') continue
    const pattern = new RegExp(node['pattern'], 'u')
    for (const text of hostile) {
      pattern.test(text)
      pattern.test(`${text}\n`)
      tried++
    }
  }
  expect(tried).toBeGreaterThanOrEqual(100)
})
