import { Composer, type Document, type ParsedNode, Parser } from 'yaml'
import type { Span } from '../located.js'
import type { RecipeFaults } from '../recipe-faults.js'
import { reportOddCharacters } from './odd-characters.js'
import type { SourceText } from './source-text.js'
import { lookAtTokens, MAX_DEPTH, type TokenLook } from './token-look.js'
import { grammarFault } from './yaml-faults.js'

/** YAML 1.2, core schema, nothing that is not plain data. Duplicate keys are looked for in an own walk: in linear time. */
const OPTIONS = {
  version: '1.2',
  schema: 'core',
  uniqueKeys: false,
  resolveKnownTags: false,
  merge: false,
  prettyErrors: false,
  logLevel: 'silent',
} as const

/**
 * Text to one YAML document: tokens, their depth, then nodes. Reports what the grammar or this project forbids and returns null
 * where the nodes cannot be relied on. The order matters: composing deeply nested text can end the process, so the depth is
 * measured before.
 */
export const yamlDocument = (source: SourceText, faults: RecipeFaults): ParsedNode | null => {
  if (reportOddCharacters(source, faults)) return null
  const tokens = [...new Parser().parse(source.text)]
  const look = lookAtTokens(tokens)
  if (look.tooDeepAt !== null) {
    const at = { source, start: look.tooDeepAt, end: look.tooDeepAt + 1 }
    faults.add('RECIPE_TOO_DEEP', `nested deeper than ${MAX_DEPTH} levels`, at, {
      expected: 'the five levels of a recipe',
      mend: 'is a bracket left open?',
    })
    return null
  }
  reportMarks(source, look, faults)
  const [document, second] = [...new Composer(OPTIONS).compose(tokens, true, source.text.length)]
  if (document === undefined) return null
  if (reportVersion(source, document, faults)) return null
  if (reportGrammar(source, document, look, faults)) return null
  if (second !== undefined) {
    const start = startOfSecond(source, second)
    faults.add(
      'RECIPE_SEVERAL_DOCUMENTS',
      'a second recipe starts here',
      { source, start, end: start + 3 },
      {
        expected: 'one recipe per file',
        mend: 'remove the line --- or make it a file of its own',
      },
    )
    return null
  }
  if (document.contents === null || isNothing(document.contents, look)) {
    faults.add(
      'RECIPE_EMPTY',
      'there is nothing in this file',
      { source, start: 0, end: 0 },
      {
        expected: 'a recipe: recipe, song, groups',
        mend: 'start from one of the recipes in recipes/',
      },
    )
    return null
  }
  return document.contents
}

const MARK_WORDS = {
  tag: ['RECIPE_TAG', 'a tag (!) gives a value another type', 'remove the tag; put a text in quotes'],
  anchor: [
    'RECIPE_ALIAS',
    'an anchor (&) marks a value for repetition',
    'write the value out; to share settings between recipes, use base:',
  ],
  alias: [
    'RECIPE_ALIAS',
    'an alias (*) repeats a value from elsewhere',
    'write the value out; a text that starts with * needs quotes',
  ],
} as const

const reportMarks = (source: SourceText, look: TokenLook, faults: RecipeFaults): void => {
  for (const { kind, at, length } of look.marks) {
    const [code, message, mend] = MARK_WORDS[kind]
    faults.add(code, message, { source, start: at, end: at + length }, { expected: 'plain values', mend })
  }
}

const reportVersion = (source: SourceText, document: Document.Parsed, faults: RecipeFaults): boolean => {
  const { yaml } = document.directives
  const foreign = yaml.explicit === true && (yaml.version as string) !== '1.2'
  const unknown = [...document.errors, ...document.warnings].some(
    ({ code, message }) => code === 'BAD_DIRECTIVE' && /version/i.test(message),
  )
  if (!foreign && !unknown) return false
  const start = Math.max(0, source.text.search(/^%YAML/m))
  const end = start + source.line(source.lineOf(start)).length
  faults.add(
    'RECIPE_YAML_VERSION',
    'this is not YAML 1.2',
    { source, start, end },
    {
      expected: '%YAML 1.2',
      mend: 'remove the line: every recipe is YAML 1.2',
    },
  )
  return true
}

/** What the tokens have told already, with better places. */
const TOLD_BY_MARKS = new Set([
  'TAG_RESOLVE_FAILED',
  'BAD_ALIAS',
  'ALIAS_PROPS',
  'MULTIPLE_TAGS',
  'MULTIPLE_ANCHORS',
])

const reportGrammar = (
  source: SourceText,
  document: Document.Parsed,
  look: TokenLook,
  faults: RecipeFaults,
): boolean => {
  const complaints = [...document.errors, ...document.warnings].filter(({ code }) => !TOLD_BY_MARKS.has(code))
  const linesTold = new Set<number>()
  for (const complaint of complaints) {
    const { message, start, end, ...detail } = grammarFault(source, complaint, look)
    const at: Span = { source, start, end }
    const line = source.lineOf(start)
    if (linesTold.has(line)) continue // one mistake makes several complaints on its line
    linesTold.add(line)
    faults.add('RECIPE_SYNTAX', message, at, detail)
  }
  return complaints.length > 0
}

const isNothing = (contents: ParsedNode, look: TokenLook): boolean =>
  'source' in contents &&
  contents.source === '' &&
  contents.range[0] === contents.range[1] &&
  look.marks.length === 0

const startOfSecond = (source: SourceText, second: Document.Parsed): number => {
  const marker = source.text.lastIndexOf('\n---', second.range[0])
  return marker >= 0 ? marker + 1 : second.range[0]
}
