import type { Argument, Command, Option } from 'commander'

/** The command line as completion scripts need it: plain data from the same definitions as the help. */
export interface CommandTable {
  readonly program: string
  readonly commands: readonly CommandEntry[]
  /** Options of the program itself. */
  readonly options: readonly OptionEntry[]
}

export interface CommandEntry {
  readonly name: string
  readonly summary: string
  readonly options: readonly OptionEntry[]
  readonly takes: Takes
}

export interface OptionEntry {
  /** `-h` and `--help`; short ones first. */
  readonly flags: readonly string[]
  readonly description: string
  /** null = a switch. */
  readonly value: { readonly name: string; readonly choices: readonly string[] } | null
}

/** What the arguments of a command are. */
export type Takes =
  | { readonly kind: 'recipes' | 'folders' | 'files' | 'nothing' }
  | { readonly kind: 'words'; readonly words: readonly string[] }

/** The commands and options of the program as its own help shows them: what completion offers. */
export const commandTable = (program: Command): CommandTable => {
  const help = program.createHelp()
  const commands = help.visibleCommands(program)
  const names = commands.map(command => command.name()).filter(name => name !== 'help')
  return {
    program: program.name(),
    options: help.visibleOptions(program).map(optionEntry),
    commands: commands.map(command => ({
      name: command.name(),
      summary: command.summary() || command.description(),
      options: command.name() === 'help' ? [] : help.visibleOptions(command).map(optionEntry),
      takes:
        command.name() === 'help' ? { kind: 'words', words: names } : takesOf(command.registeredArguments[0]),
    })),
  }
}

const optionEntry = (option: Option): OptionEntry => ({
  flags: [option.short, option.long].flatMap(flag => flag ?? []),
  description: option.description,
  value:
    option.required || option.optional
      ? {
          name: /[<[](.+?)[>\]]/.exec(option.flags)?.[1] ?? 'value',
          choices: option.argChoices ?? [],
        }
      : null,
})

/** The name of an argument tells what it is: definitions use these words and no others. */
const takesOf = (argument: Argument | undefined): Takes => {
  if (argument === undefined) return { kind: 'nothing' }
  if (argument.argChoices !== undefined) return { kind: 'words', words: argument.argChoices }
  const name = argument.name()
  return { kind: name === 'recipe' ? 'recipes' : name === 'folder' ? 'folders' : 'files' }
}
