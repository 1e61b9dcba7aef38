import type { CommandEntry, CommandTable, OptionEntry, Takes } from './command-table.js'

/** A completion script for zsh, as a function file `_sumwell`; it also serves when it is sourced. */
export const zshCompletion = ({ program, commands, options }: CommandTable): string => `#compdef ${program}
# Completion of ${program} for zsh: made by "${program} completion zsh".
_${program}() {
  local context state line
  typeset -A opt_args
  _arguments -C ${options.map(option => optionSpec(option)).join(' ')} '1: :->command' '*:: :->argument'
  case $state in
    command)
      local -a commands=(
${commands.map(({ name, summary }) => `        ${quoted(`${name}:${summary}`)}`).join('\n')}
      )
      _describe -t commands command commands ;;
    argument)
      case $line[1] in
${commands.map(commandCase).join('\n')}
      esac ;;
  esac
}
if [[ $funcstack[1] == _${program} ]]; then _${program} "$@"; else compdef _${program} ${program}; fi
`

const commandCase = ({ name, options, takes }: CommandEntry): string =>
  `        ${name}) _arguments ${[...options.map(option => optionSpec(option)), argumentSpec(takes)].join(' ')} ;;`

/** `'(-h --help)'{-h,--help}'[what it does]'`, with its value where it takes one. */
const optionSpec = ({ flags, description, value }: OptionEntry): string => {
  const text = `[${description.replace(/[[\]\\:]/g, '\\$&')}]`
  const taken = value === null ? '' : `:${value.name}:${valueAction(value)}`
  if (flags.length === 1) return quoted(`${flags[0]}${text}${taken}`)
  return `${quoted(`(${flags.join(' ')})`)}{${flags.join(',')}}${quoted(`${text}${taken}`)}`
}

const valueAction = ({ name, choices }: NonNullable<OptionEntry['value']>): string =>
  choices.length > 0 ? `(${choices.join(' ')})` : name === 'folder' ? '_files -/' : ''

const argumentSpec = (takes: Takes): string => {
  if (takes.kind === 'nothing') return ''
  if (takes.kind === 'words') return quoted(`1:word:(${takes.words.join(' ')})`)
  if (takes.kind === 'recipes') return quoted('*:recipe:_files -g "*.(yaml|yml)"')
  return quoted(`*:${takes.kind}:_files${takes.kind === 'folders' ? ' -/' : ''}`)
}

const quoted = (text: string): string => `'${text.replaceAll("'", `'\\''`)}'`
