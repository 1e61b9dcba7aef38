import { readFileSync } from 'node:fs'
import { Ajv2020, type AnySchemaObject } from 'ajv/dist/2020.js'
import { describe, expect, it } from 'vitest'
import { buildReport } from '../../src/report/build-report.js'
import { reportJson } from '../../src/report/write-report.js'
import { lanternReport, lanternStreet } from './fixture.js'

const schema = JSON.parse(
  readFileSync(new URL('../../schemas/report.schema.json', import.meta.url), 'utf8'),
) as AnySchemaObject
const validate = new Ajv2020({ strict: true, allowUnionTypes: true, allErrors: false }).compile(schema)

const parsed = (): unknown => JSON.parse(reportJson(lanternReport()))

type Plain = Record<string, unknown>

/** Every object in plain data, each with a way to say where it is. */
const objectsIn = (value: unknown, at: string): { readonly at: string; readonly object: Plain }[] => {
  if (Array.isArray(value)) return value.flatMap((inner, i) => objectsIn(inner, `${at}[${i}]`))
  if (value === null || typeof value !== 'object') return []
  const object = value as Plain
  return [
    { at, object },
    ...Object.entries(object).flatMap(([key, inner]) => objectsIn(inner, `${at}.${key}`)),
  ]
}

describe('report.json against its schema', () => {
  it('validates what buildReport makes', () => {
    expect(validate(parsed()), JSON.stringify(validate.errors)).toBe(true)
  })

  it('validates a report before anything was written, without tone and close-ups', () => {
    const bare = buildReport({
      ...lanternStreet,
      rendered: null,
      tone: [],
      closeUps: new Map(),
      listens: new Map(),
      desks: new Map(),
      neighbours: null,
      recipeSha256: null,
      made: { at: null },
    })
    expect(validate(JSON.parse(reportJson(bare))), JSON.stringify(validate.errors)).toBe(true)
  })

  it('wants every field and knows no other, in every object', () => {
    const report = parsed()
    let missed = 0
    let added = 0
    const tried = new Set<string>()
    for (const { at, object } of objectsIn(report, '')) {
      const kind = at.replace(/\[\d+\]/g, '[]')
      if (tried.has(kind)) continue
      tried.add(kind)
      object['stranger'] = 1
      expect(validate(report), `${at} takes a stranger`).toBe(false)
      delete object['stranger']
      added++
      for (const [key, value] of Object.entries(object)) {
        Reflect.deleteProperty(object, key)
        expect(validate(report), `${at}.${key} may be missing`).toBe(false)
        object[key] = value
        missed++
      }
    }
    expect(validate(report)).toBe(true)
    expect(added).toBeGreaterThan(25)
    expect(missed).toBeGreaterThan(150)
  })
})
