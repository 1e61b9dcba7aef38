import { CommanderError } from 'commander'
import { describe, expect, test } from 'vitest'
import { program } from '../cli/help-of.js'
import { faultsOf, MONO } from '../recipe/recipe-room.js'
import { pages, wholeRecipe } from './pages.js'

const blocksOf = (text: string, language: string): readonly string[] =>
  [...text.matchAll(/^```(\w*)[^\n]*\n([\s\S]*?)^```$/gm)].flatMap(([, of, block]) =>
    of === language ? [block ?? ''] : [],
  )

/** Calls as somebody would type them: in code, as a line or between words. What a shell does with the result is cut off. */
const callsIn = (text: string): readonly string[] => {
  const lines = [...text.matchAll(/^(?: {2,}|\$ )?(?:\$ )?(?:npx )?(sumwell .*)$/gm)].map(
    ([, call]) => call ?? '',
  )
  const inline = [...text.matchAll(/`(?:npx )?(sumwell [^`\n]+)`/g)].map(([, call]) => call ?? '')
  return [...lines, ...inline]
    .map(call => call.replace(/ +#.*$| *(\||>|;|&&).*$|\)+$/, '').trim())
    .filter(call => !/^sumwell (--|[<…]|\.)|[…]/.test(call))
}

// The calls of the page of bad input are wrong on purpose; each is run by test/robustness.
const calls = pages
  .filter(({ name }) => name !== 'docs/robustness.md')
  .flatMap(({ name, text }) => callsIn(text).map(call => ({ name, call })))

/** What is wrong with a call; null where the command line takes it. A mention without arguments only names a command. */
const complaint = (call: string): string | null => {
  const words = call
    .split(/\s+/)
    .slice(1)
    .map(word => word.replace(/^["']|["']$/g, ''))
  const command = program.commands.find(one => one.name() === words[0])
  if (command === undefined) return `no command ${words[0] ?? ''}`
  if (words.slice(1).every(word => word.startsWith('-'))) {
    const unknown = words
      .slice(1)
      .filter(word => word !== '--help' && !command.options.some(one => one.long === word.split('=')[0]))
    return unknown.length === 0 ? null : `no option ${unknown.join(', ')}`
  }
  try {
    command.exitOverride().configureOutput({ writeErr: () => undefined, writeOut: () => undefined })
    const { operands, unknown } = command.parseOptions(words.slice(1))
    if (unknown.length > 0) return `unknown ${unknown.join(' ')}`
    const needed = command.registeredArguments.filter(argument => argument.required).length
    const most = command.registeredArguments.some(argument => argument.variadic)
      ? Infinity
      : command.registeredArguments.length
    return operands.length >= needed && operands.length <= most ? null : `${operands.length} arguments`
  } catch (error) {
    if (error instanceof CommanderError) return error.message
    throw error
  }
}

test('every call of the command in the documents is one that the command line takes', () => {
  expect(calls.length).toBeGreaterThan(60)
  expect(
    calls.flatMap(({ name, call }) =>
      complaint(call) === null ? [] : [`${name}: ${call}: ${complaint(call) ?? ''}`],
    ),
  ).toEqual([])
  // and it does find what is wrong
  expect(
    ['sumwell rendr x', 'sumwell render x --lock', 'sumwell compare x', 'sumwell check x --jobs 0'].map(
      complaint,
    ),
  ).not.toContain(null)
})

describe('every piece of a recipe in the documents is read', () => {
  const snippets = pages.flatMap(({ name, text }) =>
    blocksOf(text, 'yaml').map((snippet, i) => [`${name}, ${i + 1}`, snippet] as const),
  )
  test('there are some', () => {
    expect(snippets.length).toBeGreaterThan(6)
  })
  test.each(snippets)('%s', async (_name, snippet) => {
    const found = await faultsOf(wholeRecipe(snippet), {
      facts: () => ({ ...MONO, frames: 48_000 * 600, channels: 2 }),
      beside: { 'album.yaml': 'recipe: 1\ngroups: { g: { reference: a, sources: { a: a.wav } } }\n' },
      take: '4',
    })
    expect(found.map(({ code, message }) => `${code} ${message}`)).toEqual([])
  })
})

test('every piece of JSON in the documents is JSON, with comments at most', () => {
  const snippets = pages.flatMap(({ text }) => [...blocksOf(text, 'json'), ...blocksOf(text, 'jsonc')])
  for (const snippet of snippets) {
    expect(() => JSON.parse(snippet.replace(/\s\/\/.*$/gm, '').replace(/…/g, '0')) as unknown).not.toThrow()
  }
})
