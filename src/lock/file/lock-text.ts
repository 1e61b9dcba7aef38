import { Document, isCollection, isMap, isScalar, visit } from 'yaml'
import type { Lock } from '../lock.js'

const HEAD = ` Written by sumwell render: commit it beside the recipe, do not edit it.
 What it is and when it changes: docs/lock.md`

/** Longer lists and blocks of plain values take a line for each. */
const LONGEST_LINE = 100

/**
 * The text of a lock: the same value gives the same text. Blocks of plain values that fit stand on one line, so that a change of one
 * recording is a change of few lines.
 */
export const lockText = (lock: Lock): string => {
  const document = new Document(sorted(lock), { version: '1.2', schema: 'core' })
  document.commentBefore = HEAD
  visit(document, {
    Collection: (_key, node) => {
      const plain = node.items.every(item =>
        isMap(node) ? isPlain((item as { value?: unknown }).value) : isPlain(item),
      )
      const isTake = isMap(node) && node.has('isThis') // one line each, however many takes are pooled
      if (plain && (isTake || JSON.stringify(node.toJSON()).length <= LONGEST_LINE)) node.flow = true
    },
  })
  return document.toString({ lineWidth: 0, flowCollectionPadding: true })
}

const isPlain = (node: unknown): boolean => isScalar(node) || (isCollection(node) && node.items.length === 0)

/** Maps whose keys are names from the recipe stand in the order of their names, whatever order the recipe has. */
const NAMED = new Set(['groups', 'stems', 'sources', 'blends', 'gains'])

const sorted = (value: unknown, name = ''): unknown => {
  if (Array.isArray(value)) return value.map(item => sorted(item))
  if (typeof value !== 'object' || value === null) return value
  const entries = Object.entries(value).map(([key, inner]) => [key, sorted(inner, key)] as const)
  if (NAMED.has(name)) entries.sort(([a], [b]) => (a < b ? -1 : 1))
  return new Map(entries)
}
