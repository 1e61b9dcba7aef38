import type { CommandEntry, CommandTable, OptionEntry, Takes } from './command-table.js'

/** A completion script for bash 4 and newer. */
export const bashCompletion = ({ program, commands, options }: CommandTable): string => {
  const names = [...commands.map(({ name }) => name), ...options.flatMap(({ flags }) => flags)]
  return `# Completion of ${program} for bash: made by "${program} completion bash".
_${program}() {
  local current=\${COMP_WORDS[COMP_CWORD]} before=\${COMP_WORDS[COMP_CWORD-1]} word command= words= kind=
  COMPREPLY=()
  for word in "\${COMP_WORDS[@]:1:COMP_CWORD-1}"; do
    case $word in -*) ;; *) command=$word; break ;; esac
  done
  case $command in
    '') COMPREPLY=($(compgen -W '${names.join(' ')}' -- "$current")); return ;;
${commands.map(entry => commandCase(entry)).join('\n')}
  esac
  if [[ $current == -* ]]; then COMPREPLY=($(compgen -W "$words" -- "$current")); return; fi
  compopt -o filenames 2>/dev/null
  local IFS=$'\\n'
  case $kind in
    recipes) COMPREPLY=($(compgen -f -X '!*.y?(a)ml' -- "$current") $(compgen -d -- "$current")) ;;
    folders) COMPREPLY=($(compgen -d -- "$current")) ;;
    files) COMPREPLY=($(compgen -f -- "$current")) ;;
    nothing) ;;
    *) compopt +o filenames 2>/dev/null; IFS=' '; COMPREPLY=($(compgen -W "$kind" -- "$current")) ;;
  esac
}
shopt -q extglob || shopt -s extglob
complete -F _${program} ${program}
`
}

const commandCase = ({ name, options, takes }: CommandEntry): string => {
  const values = options.filter(({ value }) => value !== null)
  const flags = options.flatMap(option => option.flags)
  return `    ${name}) words='${flags.join(' ')}' kind='${kindOf(takes)}'${values.length === 0 ? '' : `\n      case $before in ${values.map(valueCase).join(' ')} esac`} ;;`
}

const valueCase = ({ flags, value }: OptionEntry): string => {
  const choices = value?.choices ?? []
  const offered = choices.length > 0 ? `-W '${choices.join(' ')}'` : value?.name === 'folder' ? '-d' : null
  const reply = offered === null ? '' : `COMPREPLY=($(compgen ${offered} -- "$current")); `
  return `${flags.join('|')}) ${reply}return ;;`
}

const kindOf = (takes: Takes): string => (takes.kind === 'words' ? takes.words.join(' ') : takes.kind)
