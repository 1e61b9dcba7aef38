import type { FaultCode } from '../terms/fault-codes.js'

/** The exit status of the command, in the words of docs/commands.md. */
export const EXIT = {
  done: 0,
  failed: 1,
  usage: 2,
  recipe: 3,
  notSure: 4,
  differs: 5,
  interrupted: 130,
} as const

export type ExitStatus = (typeof EXIT)[keyof typeof EXIT]

/** By the prefix of the code, as src/terms/fault-codes.ts says. */
const statusOfCode = (code: FaultCode): ExitStatus => {
  if (code === 'INTERRUPTED') return EXIT.interrupted
  if (code === 'NOT_SURE') return EXIT.notSure
  if (code === 'LOCK_DIFFERS' || code === 'VERIFY_DIFFERS') return EXIT.differs
  if (code.startsWith('USAGE_')) return EXIT.usage
  if (code.startsWith('RECIPE_')) return EXIT.recipe
  return EXIT.failed
}

// Of several: what a person has to deal with first.
const GRAVEST_FIRST: readonly ExitStatus[] = [130, 2, 3, 1, 5, 4, 0]

/** One status for all that went wrong in a call; `done` for an empty list. */
export const exitStatusOf = (codes: readonly FaultCode[]): ExitStatus => {
  const found = new Set<ExitStatus>(codes.map(statusOfCode))
  return GRAVEST_FIRST.find(status => found.has(status)) ?? EXIT.done
}
