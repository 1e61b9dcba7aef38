import type { ErrorObject } from 'ajv'
import { plainOf } from '../../recipe/located.js'
import { RecipeFaults } from '../../recipe/recipe-faults.js'
import { pointedAt } from '../../recipe/shape/pointer.js'
import { readSource } from '../../recipe/text/read-source.js'
import { yamlDocument } from '../../recipe/text/yaml-document.js'
import { yamlWalk } from '../../recipe/text/yaml-walk.js'
import { type Fault, fault, SumwellError } from '../../terms/fault.js'
import validate from '../generated/lock-validator.js'
import type { Lock } from '../lock.js'

/** A thousand sources have 1.5 MB. */
const LARGEST_LOCK_BYTES = 2 * 1024 * 1024

const MEND = 'take it from version control again; or remove it, and everything is decided anew'

/**
 * Reads a lock as strictly as a recipe: size, UTF-8, YAML 1.2 without anchors, aliases or tags, depth, every key.
 * @throws SumwellError LOCK_UNREADABLE with every fault found, each with its place
 */
export const readLock = (path: string, shown: string): Lock => {
  const source = readSource(path, shown, LARGEST_LOCK_BYTES)
  if ('code' in source) throw new SumwellError(unreadable(source))
  const faults = new RecipeFaults()
  const contents = yamlDocument(source, faults)
  const root = contents === null ? null : yamlWalk(contents, source, faults)
  if (faults.any) throw new SumwellError(faults.error().faults.map(unreadable))
  const plain = root === null ? null : plainOf(root)
  if (root === null || !validate(plain)) {
    const errors = validate.errors ?? []
    const seen = new Set<string>()
    const told = errors.flatMap((error): readonly Fault[] => {
      if (root === null || seen.has(error.instancePath)) return []
      seen.add(error.instancePath)
      const { value, keyAt } = pointedAt(root, error.instancePath)
      const at = keyAt ?? value.at
      return [
        fault('LOCK_UNREADABLE', wordsOf(error), {
          place: at.source.place(at.start, at.end),
          mend: MEND,
        }),
      ]
    })
    throw new SumwellError(told)
  }
  return plain as Lock
}

/** What is wrong with a text is the same for a recipe and a lock; what to do is not. */
const unreadable = (found: Fault): Fault => ({
  ...found,
  code: 'LOCK_UNREADABLE',
  message: `the lock cannot be read: ${found.message}`,
  expected: null,
  nearest: null,
  mend: MEND,
})

const wordsOf = ({ instancePath, keyword, message, params }: ErrorObject): string => {
  if (instancePath === '/lock') return 'this lock was written by a later version of Sumwell'
  const extra = (params as { additionalProperty?: string }).additionalProperty
  const what = extra === undefined ? (message ?? keyword) : `does not have ${extra} here`
  return `this is not as a lock has it: ${what}`
}
