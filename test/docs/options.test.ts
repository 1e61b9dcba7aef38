import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { program } from '../cli/help-of.js'

const root = join(import.meta.dirname, '../..')

/** All text of tests that run commands, without what only this test says. */
const tests = ['test/end-to-end', 'test/robustness', 'test/cli', 'test/bench'].flatMap(folder =>
  readdirSync(join(root, folder), { recursive: true, encoding: 'utf8' })
    .filter(name => name.endsWith('.ts'))
    .map(name => readFileSync(join(root, folder, name), 'utf8')),
)

/** The pieces of a test in which a command is called: from its name to the end of the statement, a list of words or one line. */
const callsOf = (command: string): readonly string[] =>
  tests.flatMap(text => [
    // as a list of words: ['render', 'song.yaml', '--strict'], also spread over lines
    ...[...text.matchAll(new RegExp(`'${command}'[^\\]]*\\]`, 'g'))].map(([call]) => call),
    ...[...text.matchAll(new RegExp(`'${command}'[^)]*\\)`, 'g'))].map(([call]) => call),
    // as a line: sumwell render song.yaml --strict
    ...[...text.matchAll(new RegExp(`sumwell ${command} [^'\`\\n]*`, 'g'))].map(([call]) => call),
  ])

const pairs = program.commands
  .filter(command => command.name() !== 'help')
  .flatMap(command =>
    command.options.map(option => ({
      command: command.name(),
      flag: option.long ?? option.short ?? '',
    })),
  )

test('every option of every command is used by a test that runs that command', () => {
  const unused = pairs.filter(({ command, flag }) => {
    const word = new RegExp(`(?<![\\w-])${flag}(?![\\w-])`)
    return !callsOf(command).some(call => word.test(call))
  })
  expect(unused.map(({ command, flag }) => `${command} ${flag}`)).toEqual([])
  expect(pairs.length).toBeGreaterThan(60)
})
