import { Command } from 'commander'
import type { Actions } from './program/actions.js'
import { addRecipeCommands } from './program/on-recipes.js'
import { addOtherCommands } from './program/others.js'

/** The command line as a value: what is accepted, and the help that says so. Completion scripts are made from it too. */
export const programOf = (version: string, actions: Actions): Command => {
  const program = new Command('sumwell')
    .description(
      'Lines up, blends and prints the several recorded paths of one performance, from one recipe per song.',
    )
    .usage('<command> [options]')
    .exitOverride()
    .showHelpAfterError('(sumwell --help tells what there is)')
    .version(version, '-V, --version', 'print the version')
    .helpOption('-h, --help', 'print this help')
    .helpCommand('help [command]', 'print the help of a command')
    .configureHelp({ subcommandTerm })
    .addHelpText('after', EXITS)
  addRecipeCommands(program, actions)
  addOtherCommands(program, actions)
  return program
}

/** The command with its arguments, without its options. */
const subcommandTerm = (command: Command): string =>
  [command.name(), ...command.registeredArguments.map(termOf)].join(' ')

const termOf = (argument: { name(): string; variadic: boolean; required: boolean }): string => {
  const name = `${argument.name()}${argument.variadic ? '...' : ''}`
  return argument.required ? `<${name}>` : `[${name}]`
}

const EXITS = `
Exit status:
  0    done
  1    the work failed (unreadable file, disk full, …)
  2    wrong command line
  3    a recipe is wrong
  4    --strict, and something is not sure
  5    --locked, and something differs from the lock; or verify found a difference
  130  interrupted; nothing half-written is left`
