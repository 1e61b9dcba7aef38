import { dirname } from 'node:path'
import { fieldOf, type Located, typedOf } from '../located.js'
import type { Setup } from '../session.js'
import type { MeaningContext } from './context.js'

/** Takes a group out of the song's setup. */
const NO_SETUP = 'none'

/** Which other recordings a group is pooled with: what it says itself, else what the song says; null where that is nothing. */
export const setupOf = (root: Located, group: Located, { tree }: MeaningContext): Setup | null => {
  const said = (key: string): Located | undefined => fieldOf(group, key) ?? fieldOf(root, key)
  const setup = said('setup')
  const list = said('takes')
  const typed = typedOf(setup)
  const name = typed === undefined || typed === NO_SETUP ? null : typed
  const takes = list?.kind === 'list' ? list.items.map(typedOf).filter(take => take !== undefined) : []
  if (name === null && takes.length === 0) return null
  return {
    name,
    folder: name === null || setup === undefined ? null : dirname(setup.at.source.path),
    takes,
    allowOutside: tree.allowOutside,
  }
}
