import type { SessionGroup } from '../../recipe/session.js'
import type { LockedGroup } from '../lock.js'

/** Which other recordings a group is pooled with, as a lock has it: takes in an order that does not depend on the list. */
export const setupOf = ({ setup }: SessionGroup): Pick<LockedGroup, 'setup'> =>
  setup === null ? {} : { setup: { name: setup.name, takes: [...setup.takes].sort() } }
