import type { Command } from 'commander'
import type { Actions, OnRecipes } from './actions.js'
import { jobsOf, takeOf } from './values.js'

/** Adds a command, or several. */
export type AddsCommands = (program: Command, actions: Actions) => void

/** The arguments and options that all commands on recipes share, and what is done with them. */
export const recipesAndOptions = (command: Command, action: OnRecipes): void => {
  command
    .argument('<recipe...>', 'recipe files, folders with recipes in them, or patterns')
    .optionsGroup('Common options:')
    .option('--json', 'one JSON document on stdout, and nothing else there')
    .option('--quiet', 'tell only what went wrong')
    .option('--jobs <n>', 'threads at most (default: one per core)', jobsOf)
    .option('--strict', 'exit with 4, and write nothing, if any verdict is not sure')
    .option('--take <take>', "use this take instead of the recipe's: it fills {take}", takeOf)
    .option('--allow-outside', "files may lie outside the recipe's folder tree")
  colourOption(command).action(action)
}

/** The option that every command has. */
export const colourOption = (command: Command): Command =>
  command.option('--no-color', 'no colour; so does NO_COLOR in the environment')

/** Calls as a person would type them, each with what it is for; below the options in the help. */
export const examples = (
  command: Command,
  calls: readonly (readonly [call: string, why: string])[],
): void => {
  const lines = calls.map(([call, why]) => `  ${call}\n      ${why}`)
  command.addHelpText('after', `\nExamples:\n${lines.join('\n')}`)
}
