import { mkdirSync, mkdtempSync, readdirSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { SumwellError } from '../../src/terms/fault.js'
import { faultText } from '../../src/terms/fault-text.js'
import type { Verdict } from './target.js'

/** In memory where the system has such a disk. */
const PLACES = ['/dev/shm', tmpdir()]

/** What was written stays: it is enough to look now and then. */
const LOOK_EVERY = 16

/** A folder for the inputs of one target, inside one more: what is written beside it is seen. */
export const playground = (): {
  readonly folder: string
  readonly remove: () => void
  expectOnly(names: readonly string[]): void
} => {
  const outer = PLACES.map(place => {
    try {
      return mkdtempSync(join(place, 'sumwell-fuzz-'))
    } catch {
      return null
    }
  }).find(place => place !== null)
  if (outer === undefined) throw new Error('no folder to work in')
  const folder = join(outer, 'inner')
  let looks = 0
  mkdirSync(folder)
  return {
    folder,
    remove: () => {
      rmSync(outer, { recursive: true, force: true })
    },
    expectOnly: names => {
      if (looks++ % LOOK_EVERY !== 0) return
      const beside = readdirSync(outer).filter(name => name !== 'inner')
      const inside = readdirSync(folder).filter(name => !names.includes(name))
      if (beside.length + inside.length > 0) throw new Error(`written: ${[...beside, ...inside].join(', ')}`)
    },
  }
}

const UNREADABLE = /undefined|\[object|(?<![A-Za-z])NaN(?! \(not a number\))/

/** Runs a piece of the program: what it throws must be faults that a person can read, none of them its own. */
export const judged = async (run: () => unknown): Promise<Verdict> => {
  try {
    await run()
    return 'read'
  } catch (error) {
    if (!(error instanceof SumwellError)) throw error
    for (const fault of error.faults) {
      if (fault.code === 'INTERNAL') throw new Error(`INTERNAL: ${fault.message}`, { cause: error })
      if (UNREADABLE.test(fault.message) && !UNREADABLE.test(String(fault.place?.sourceLine)))
        throw new Error(`says: ${fault.message}`, { cause: error })
      faultText(fault)
    }
    if (error.faults.length === 0) throw new Error('an error without a fault', { cause: error })
    return 'refused'
  }
}
