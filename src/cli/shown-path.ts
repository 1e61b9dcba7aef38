import { relative } from 'node:path'

/** A path as it is told: relative to where the user is, unless that leads upwards. */
export const shownPath = (path: string): string => {
  const short = relative(process.cwd(), path)
  return short.startsWith('..') ? path : short
}
