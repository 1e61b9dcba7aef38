import { existsSync } from 'node:fs'
import { fault, SumwellError } from '../../terms/fault.js'
import { headOf } from '../../terms/plain-file.js'
import { openAtomic } from '../../wave/atomic-file.js'
import type { SoundBytes } from '../listen/listen.js'
import type { Exploration } from './exploration.js'
import { EXPLORE_MARK, explorePageParts } from './explore-page.js'

/** The mark stands in the head of a page, before its style sheet. */
const HEAD_BYTES = 4096

const isOurs = (file: string): boolean => headOf(file, HEAD_BYTES).includes(EXPLORE_MARK)

/**
 * Whether a page may be written there: under the name of a page, and over nothing but a page of `explore`.
 * @throws SumwellError USAGE_ARGUMENTS, WRITE_EXISTS
 */
export const requirePagePlace = (file: string, shown: string): void => {
  if (!/\.html?$/i.test(file)) {
    throw new SumwellError(
      fault('USAGE_ARGUMENTS', `${shown} does not end in .html`, {
        file: shown,
        expected: 'the name of a page to write',
        mend: `write ${shown}.html`,
      }),
    )
  }
  let free = !existsSync(file)
  try {
    free ||= isOurs(file)
  } catch {
    free = false
  }
  if (!free) {
    throw new SumwellError(
      fault('WRITE_EXISTS', `${shown} is there already and is no page of explore: it was left as it is`, {
        file: shown,
        mend: 'choose another name with --out, or move it away',
      }),
    )
  }
}

/** Writes the page, whole or not at all; its folder is made where missing. @throws SumwellError WRITE_… */
export const writeExploration = (target: string, exploration: Exploration, sounds: SoundBytes): void => {
  const file = openAtomic(target)
  try {
    for (const part of explorePageParts(exploration, sounds)) file.write(Buffer.from(part))
    file.commit()
  } finally {
    file.discard()
  }
}
