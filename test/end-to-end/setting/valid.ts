import { readFileSync } from 'node:fs'
import { Ajv2020, type AnySchemaObject } from 'ajv/dist/2020.js'

/** What is wrong with a document by the schema of that name; empty where nothing is. */
export const schemaErrors = (schema: string, document: unknown): readonly string[] => {
  const path = new URL(`../../../schemas/${schema}.schema.json`, import.meta.url)
  const ajv = new Ajv2020({ strict: true, allErrors: true, allowUnionTypes: true, strictRequired: false })
  const validate = ajv.compile(JSON.parse(readFileSync(path, 'utf8')) as AnySchemaObject)
  void validate(document)
  return (validate.errors ?? []).map(e => `${e.instancePath} ${e.message ?? ''}`)
}

/** The one document that a text holds; throws where there is anything else in it. */
export const documentIn = (stdout: string): Document => JSON.parse(stdout) as Document

export interface Document {
  readonly format: number
  readonly tool: { readonly name: string; readonly version: string }
  readonly songs: readonly Record<string, unknown>[]
  readonly warnings: readonly { readonly code: string; readonly recipe: string }[]
  readonly faults: readonly {
    readonly code: string
    readonly file: string | null
    readonly line: number | null
    readonly message: string
  }[]
}
