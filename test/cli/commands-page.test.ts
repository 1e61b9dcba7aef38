import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { helpOf, program } from './help-of.js'

const page = readFileSync('docs/commands.md', 'utf8')

/** Blocks of the page that show what is printed: the words after `$ sumwell`, and the text. */
const blocks = [...page.matchAll(/^```\n\$ sumwell (.*)\n([\s\S]*?)^```$/gm)].map(([, call, text]) => ({
  words: (call ?? '').split(' ').filter(word => word !== '--help'),
  text: text ?? '',
}))

test('the page shows the help of the program and of every command', () => {
  const commands = program.commands.map(command => command.name()).filter(name => name !== 'help')
  expect(blocks.map(({ words }) => words.join(' '))).toEqual(['', ...commands])
  expect(commands).toEqual([
    'init',
    'check',
    'measure',
    'render',
    'verify',
    'compare',
    'explore',
    'report',
    'merge',
    'slate',
    'cache',
    'selfcheck',
    'completion',
  ])
})

test.each(blocks)('the help of "$words" stands there as it is printed', ({ words, text }) => {
  expect(text).toBe(helpOf(words))
})

test('every option is told in a sentence', () => {
  const options = program.commands.flatMap(command => command.options)
  expect(options.length).toBeGreaterThan(15)
  for (const { flags, description } of options)
    expect([flags, description.length > 10]).toEqual([flags, true])
})

test('every command shows by example how it is called', () => {
  const commands = program.commands.filter(command => command.name() !== 'help')
  expect(commands.length).toBeGreaterThan(5)
  for (const command of commands) {
    const calls = helpOf([command.name()]).match(/^ {2}sumwell .*$/gm) ?? []
    expect([command.name(), calls.length >= 2]).toEqual([command.name(), true])
    for (const call of calls)
      expect(call).toMatch(new RegExp(`^ {2}(.* \\| )?sumwell ${command.name()}( |$)`))
  }
})
