import { spawnSync } from 'node:child_process'
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { bashCompletion } from '../../src/cli/completion/bash.js'
import { commandTable } from '../../src/cli/completion/command-table.js'
import { fishCompletion } from '../../src/cli/completion/fish.js'
import { zshCompletion } from '../../src/cli/completion/zsh.js'
import { program } from './help-of.js'

// The shells themselves are asked what they would offer.

const table = commandTable(program)
let folder = ''

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'sumwell-completion-'))
  mkdirSync(join(folder, 'audio'))
  for (const name of ['song.yaml', 'other song.yml', 'bass.wav']) writeFileSync(join(folder, name), '')
  writeFileSync(join(folder, '_sumwell'), zshCompletion(table))
  writeFileSync(join(folder, 'sumwell.bash'), bashCompletion(table))
  writeFileSync(join(folder, 'sumwell.fish'), fishCompletion(table))
})
afterAll(() => {
  rmSync(folder, { recursive: true })
})

test('the table holds every command with its options, and what it takes', () => {
  const names = program.commands.map(command => command.name())
  expect(table.commands.map(({ name }) => name)).toEqual([...names, 'help'])
  for (const command of program.commands) {
    const entry = table.commands.find(({ name }) => name === command.name())
    const flags = entry?.options.flatMap(option => option.flags) ?? []
    for (const { long } of command.options) expect(flags).toContain(long)
  }
  const takes = Object.fromEntries(table.commands.map(({ name, takes }) => [name, takes.kind]))
  expect(takes).toMatchObject({ check: 'recipes', render: 'recipes', slate: 'files', selfcheck: 'folders' })
})

/** A shell that is not there is told; in CI it is a failure. */
const withShell = (shell: string, name: string, check: () => void) => {
  const there = spawnSync(shell, ['--version']).status === 0
  if (!there && process.env['CI'] === undefined) {
    console.warn(`NOT CHECKED, ${shell} is not on this machine: ${name}`)
    test.skip(`${shell}: ${name}`, check)
    return
  }
  test(`${shell}: ${name}`, check)
}

const asked = (command: string, args: readonly string[]): readonly string[] => {
  const { stdout, stderr, status } = spawnSync(command, args, { cwd: folder, encoding: 'utf8' })
  expect([status, stderr]).toEqual([0, ''])
  return stdout.split('\n').filter(line => line !== '')
}

describe('what a shell offers', () => {
  const inBash = (words: readonly string[]): readonly string[] =>
    asked('bash', [
      '--norc',
      '-c',
      `source ./sumwell.bash; compopt() { :; }; COMP_WORDS=(sumwell "$@"); COMP_CWORD=$#; _sumwell; printf '%s\\n' "\${COMPREPLY[@]}"`,
      'bash',
      ...words,
    ])

  withShell('bash', 'commands, options, values and files', () => {
    expect(inBash(['mea'])).toEqual(['measure'])
    expect(inBash(['check', '--st'])).toEqual(['--strict'])
    expect(inBash(['slate', '--depth', ''])).toEqual(['16', '24', '32f'])
    expect(inBash(['check', ''])).toEqual(['other song.yml', 'song.yaml', 'audio'])
    expect(inBash(['check', '--quiet', 's'])).toEqual(['song.yaml'])
    expect(inBash(['selfcheck', ''])).toEqual(['audio'])
    expect(inBash(['slate', 'b'])).toEqual(['bass.wav'])
    expect(inBash(['completion', ''])).toEqual(['bash', 'zsh', 'fish'])
    expect(inBash(['help', 'sl'])).toEqual(['slate'])
    expect(inBash(['check', '--jobs', ''])).toEqual([])
  })

  const inFish = (line: string): readonly string[] =>
    asked('fish', ['--no-config', '-c', `source ./sumwell.fish; complete --do-complete '${line}'`]).map(
      offer => offer.split('\t')[0] ?? '',
    )

  withShell('fish', 'commands, options, values and files', () => {
    expect(inFish('sumwell mea')).toEqual(['measure'])
    expect(inFish('sumwell check --st')).toEqual(['--strict'])
    expect(inFish('sumwell slate --depth ')).toEqual(['16', '24', '32f'])
    expect(inFish('sumwell check s')[0]).toBe('song.yaml') // then what else is there
    expect(inFish('sumwell selfcheck ')).toEqual(['audio/'])
    expect(inFish('sumwell completion z')).toEqual(['zsh'])
  })

  // zsh offers only inside its line editor: here its own functions are replaced by ones that say what they were asked to offer.
  const inZsh = (words: readonly string[]): readonly string[] =>
    asked('zsh', [
      '-f',
      '-c',
      `compdef() { :; }
       _arguments() { if [[ $1 == -C ]]; then if (( $# > 0 )) && [[ -z $COMMAND ]]; then state=command; else state=argument; line=($COMMAND); fi; else print -l -- "$@"; fi; }
       _describe() { print -l -- "\${(P@)4}"; }
       source ./_sumwell; COMMAND=$1; _sumwell`,
      'zsh',
      ...words,
    ])

  withShell('zsh', 'commands, options, values and files', () => {
    expect(asked('zsh', ['-n', '_sumwell'])).toEqual([])
    expect(inZsh([])).toContain('measure:tell how late each source is, which way round, how sure')
    expect(inZsh([])).toHaveLength(table.commands.length)
    const check = inZsh(['check'])
    expect(check).toContain('--strict[exit with 4, and write nothing, if any verdict is not sure]')
    expect(check).toContain("--allow-outside[files may lie outside the recipe's folder tree]")
    expect(check.at(-1)).toBe('*:recipe:_files -g "*.(yaml|yml)"')
    expect(inZsh(['slate'])).toContain('--depth[word length]:bits:(16 24 32f)')
    expect(inZsh(['selfcheck']).at(-1)).toBe('*:folders:_files -/')
    expect(inZsh(['completion']).at(-1)).toBe('1:word:(bash zsh fish)')
  })
})
