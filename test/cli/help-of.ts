import type { Actions } from '../../src/cli/program/actions.js'
import { programOf } from '../../src/cli/program.js'

const nothing = () => Promise.resolve()
const actions: Actions = {
  init: nothing,
  check: nothing,
  measure: nothing,
  render: nothing,
  compare: nothing,
  explore: nothing,
  report: nothing,
  verify: nothing,
  merge: nothing,
  slate: nothing,
  completion: nothing,
  cache: nothing,
  selfcheck: nothing,
}

/** The command line with commands that do nothing. */
export const program = programOf('0', actions)

/** The help of the program, or of a command, 80 columns wide. */
export const helpOf = (words: readonly string[]): string => {
  const command = words.reduce((at, word) => at.commands.find(c => c.name() === word) ?? at, program)
  let text = ''
  command.configureOutput({ writeOut: part => (text += part), getOutHelpWidth: () => 80 })
  command.outputHelp()
  return text
}
