import { isAlias, isMap, isScalar, isSeq, type Pair, type ParsedNode, type Scalar, type YAMLMap } from 'yaml'
import type { Located, LocatedEntry, Span } from '../located.js'
import type { RecipeFaults } from '../recipe-faults.js'
import type { SourceText } from './source-text.js'

/** Names that JavaScript gives a meaning of its own. No recipe needs them; refused, so that no later step has to think of them. */
const FORBIDDEN_NAMES = new Set(['__proto__', 'prototype', 'constructor'])

/**
 * Nodes to values with places. Reports merge keys, keys that are no plain text and keys that stand twice. What was reported becomes
 * a `broken` value or is left out, so that the rest can still be checked.
 */
export const yamlWalk = (root: ParsedNode, source: SourceText, faults: RecipeFaults): Located =>
  new Walk(source, faults).value(root, { source, start: 0, end: 1 })

class Walk {
  constructor(
    private readonly source: SourceText,
    private readonly faults: RecipeFaults,
  ) {}

  /** `fallback`: the place of a value that is not there, which is its key's. */
  value(node: ParsedNode | null, fallback: Span): Located {
    if (node === null) return { kind: 'scalar', value: null, typed: '', at: fallback }
    const at = this.span(node.range[0], node.range[1])
    // The look at the tokens has told of aliases, anchors and tags.
    if (isAlias(node) || node.anchor !== undefined || node.tag !== undefined) return { kind: 'broken', at }
    if (isMap(node)) return this.map(node, at)
    if (isSeq(node)) return { kind: 'list', at, items: node.items.map(item => this.value(item, at)) }
    return this.scalar(node, at, fallback)
  }

  private scalar(node: Scalar.Parsed, at: Span, fallback: Span): Located {
    const value = node.value
    const place = at.end > at.start ? at : fallback
    if (typeof value === 'string') return { kind: 'scalar', value, typed: value, at: place }
    const plain = typeof value === 'number' || typeof value === 'boolean' ? value : null
    return { kind: 'scalar', value: plain, typed: node.source, at: place }
  }

  private map(node: YAMLMap.Parsed, at: Span): Located {
    const entries = new Map<string, LocatedEntry>()
    let incomplete = false
    for (const pair of node.items as Pair<ParsedNode | null, ParsedNode | null>[]) {
      const key = this.key(pair.key, at)
      if (key === null) {
        incomplete = true
        continue
      }
      const { name, keyAt } = key
      const earlier = entries.get(name)
      if (earlier !== undefined) {
        const line = this.source.lineOf(earlier.keyAt.start)
        this.faults.add('RECIPE_DUPLICATE_KEY', `${name} stands here a second time`, keyAt, {
          expected: `each name once; the first is on line ${line}`,
          mend: 'remove one of the two, or give it another name',
        })
        continue
      }
      entries.set(name, { keyAt, value: this.value(pair.value, keyAt) })
    }
    return { kind: 'map', at, entries, incomplete }
  }

  private key(node: ParsedNode | null, map: Span): { name: string; keyAt: Span } | null {
    if (!isScalar(node)) {
      const at = node === null ? map : this.span(node.range[0], node.range[1])
      if (!isAlias(node)) this.badKey(at, 'a key that is no plain text')
      return null
    }
    const keyAt = this.span(node.range[0], Math.max(node.range[1], node.range[0] + 1))
    if (node.anchor !== undefined || node.tag !== undefined) return null
    if (typeof node.value !== 'string') {
      const typed = node.source
      this.badKey(keyAt, typed === '' ? 'a key without a name' : `the key ${typed} is no text`, typed)
      return null
    }
    if (node.value === '<<') {
      this.faults.add('RECIPE_ALIAS', 'a merge key (<<) takes values from elsewhere', keyAt, {
        expected: 'plain values',
        mend: 'write the values out; to share settings between recipes, use base:',
      })
      return null
    }
    if (FORBIDDEN_NAMES.has(node.value)) {
      this.faults.add('RECIPE_KEY', `${node.value} cannot be a name`, keyAt, { mend: 'choose another name' })
      return null
    }
    return { name: node.value, keyAt }
  }

  private badKey(at: Span, message: string, typed = ''): void {
    this.faults.add('RECIPE_KEY', message, at, {
      expected: 'a text as a key',
      nearest: typed === '' ? null : `"${typed}"`,
      mend: typed === '' ? 'write  name: value' : 'put the key in quotes',
    })
  }

  private span(start: number, end: number): Span {
    return { source: this.source, start, end }
  }
}
