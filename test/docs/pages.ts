import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { parse } from 'yaml'

export const root = join(import.meta.dirname, '../..')

export interface Page {
  /** From the root of the project. */
  readonly name: string
  readonly text: string
}

/** The pages for people: at the top, and in docs. */
export const pages: readonly Page[] = [
  'README.md',
  'DEVELOPERS.md',
  ...readdirSync(join(root, 'docs'))
    .filter(name => name.endsWith('.md'))
    .map(name => `docs/${name}`),
].map(name => ({ name, text: readFileSync(join(root, name), 'utf8') }))

/** A fragment of a recipe, put where it belongs: below a group, below the root, or as it is. */
export const wholeRecipe = (snippet: string): string => {
  if (/^recipe:/m.test(snippet)) return snippet
  const fragment = snippet.startsWith(' ') ? snippet.replace(/^ {4}/gm, '') : snippet
  const value = parse(fragment, { strict: false }) as Record<string, unknown>
  const bare = {
    recipe: 1,
    song: 'Test',
    take: 4,
    groups: { g: { reference: 'a', sources: { a: 'a.wav' } } },
  }
  const sources = value['sources'] as Record<string, unknown> | undefined
  const inGroup = sources !== undefined || 'align' in value || 'blends' in value
  const group = { reference: Object.keys(sources ?? { a: 1 })[0], sources: { a: 'a.wav' }, ...value }
  return JSON.stringify(inGroup ? { ...bare, groups: { g: group } } : { ...bare, ...value })
}
