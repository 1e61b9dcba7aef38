import type { CommandEntry, CommandTable, OptionEntry } from './command-table.js'

/** A completion script for fish 3 and newer. */
export const fishCompletion = ({ program, commands, options }: CommandTable): string => {
  const line = (condition: string, rest: string) => `complete -c ${program} -n ${quoted(condition)} ${rest}`
  const entry = ({ name, summary, options: own, takes }: CommandEntry): readonly string[] => {
    const inside = `__fish_seen_subcommand_from ${name}`
    const taken =
      takes.kind === 'words'
        ? [line(inside, `-f -a ${quoted(takes.words.join(' '))}`)]
        : takes.kind === 'nothing'
          ? []
          : [line(inside, `-f -a ${quoted(FILLERS[takes.kind])}`)]
    return [
      line('__fish_use_subcommand', `-f -a ${name} -d ${quoted(summary)}`),
      ...own.map(option => line(inside, optionPart(option))),
      ...taken,
    ]
  }
  return [
    `# Completion of ${program} for fish: made by "${program} completion fish".`,
    `complete -c ${program} -f`,
    ...options.map(option => line('__fish_use_subcommand', optionPart(option))),
    ...commands.flatMap(entry),
    '',
  ].join('\n')
}

const FILLERS = {
  recipes: '(__fish_complete_suffix .yaml; __fish_complete_suffix .yml)',
  folders: '(__fish_complete_directories)',
  files: '(__fish_complete_path)',
} as const

const optionPart = ({ flags, description, value }: OptionEntry): string => {
  const names = flags.map(flag => (flag.startsWith('--') ? `-l ${flag.slice(2)}` : `-s ${flag.slice(1)}`))
  const taken =
    value === null
      ? ''
      : ` -x${
          value.choices.length > 0
            ? ` -a ${quoted(value.choices.join(' '))}`
            : value.name === 'folder'
              ? ` -a ${quoted(FILLERS.folders)}`
              : ''
        }`
  return `${names.join(' ')}${taken} -d ${quoted(description)}`
}

const quoted = (text: string): string => `'${text.replace(/['\\]/g, '\\$&')}'`
