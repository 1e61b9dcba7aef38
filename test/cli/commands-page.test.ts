import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { programOf } from '../../src/cli/program.js'

const page = readFileSync('docs/commands.md', 'utf8')
const nothing = () => Promise.resolve()
const program = programOf('0', {
  check: nothing,
  measure: nothing,
  render: nothing,
  report: nothing,
  slate: nothing,
})

const helpOf = (words: readonly string[]): string => {
  const command = words.reduce((at, word) => at.commands.find(c => c.name() === word) ?? at, program)
  let text = ''
  command.configureOutput({ writeOut: part => (text += part), getOutHelpWidth: () => 80 })
  command.outputHelp()
  return text
}

/** Blocks of the page that show what is printed: the words after `$ sumwell`, and the text. */
const blocks = [...page.matchAll(/^```\n\$ sumwell (.*)\n([\s\S]*?)^```$/gm)].map(([, call, text]) => ({
  words: (call ?? '').split(' ').filter(word => word !== '--help'),
  text: text ?? '',
}))

test('the page shows the help of the program and of every command', () => {
  const commands = program.commands.map(command => command.name()).filter(name => name !== 'help')
  expect(blocks.map(({ words }) => words.join(' '))).toEqual(['', ...commands])
  expect(commands).toEqual(['check', 'measure', 'render', 'report', 'slate'])
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
