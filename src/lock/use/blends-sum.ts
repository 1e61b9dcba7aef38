import { createHash } from 'node:crypto'
import type { Session } from '../../recipe/session.js'

/** Checksum of how a recipe makes its blends: while it stays, their common level stays. */
export const blendsSum = ({ groups }: Session): string => {
  const blends = groups
    .map(({ name, blends }) => [name, blends] as const)
    .sort(([a], [b]) => (a < b ? -1 : 1))
  return createHash('sha256').update(JSON.stringify(blends), 'utf8').digest('hex')
}
