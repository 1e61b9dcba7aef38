import { Composer, type Document, type ParsedNode, Parser } from 'yaml'
import type { Span } from '../located.js'
import type { RecipeFaults } from '../recipe-faults.js'
import { MAX_DEPTH, offsetOfTooDeep } from './nesting.js'
import type { SourceText } from './source-text.js'
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
 * Text to one YAML document: tokens, their depth, then nodes. Reports what the grammar forbids and returns null where the nodes
 * cannot be relied on. The order matters: composing deeply nested text can end the process, so the depth is measured before.
 */
export const yamlDocument = (source: SourceText, faults: RecipeFaults): ParsedNode | null => {
  const span = (start: number, end: number): Span => ({ source, start, end })
  if (oddCharacter(source, faults)) return null

  const tokens = [...new Parser().parse(source.text)]
  const tooDeep = offsetOfTooDeep(tokens)
  if (tooDeep !== null) {
    faults.add('RECIPE_TOO_DEEP', `nested deeper than ${MAX_DEPTH} levels`, span(tooDeep, tooDeep + 1), {
      mend: 'a recipe has five levels; is a bracket left open?',
    })
    return null
  }

  const documents = [...new Composer(OPTIONS).compose(tokens, true, source.text.length)]
  const second = documents[1]
  if (second !== undefined) {
    const start = startOfSecond(source, second)
    faults.add('RECIPE_SEVERAL_DOCUMENTS', 'a second recipe starts here', span(start, start + 3), {
      expected: 'one recipe per file',
      mend: 'remove the line --- or make it a file of its own',
    })
    return null
  }
  const document = documents[0]
  return document === undefined ? null : checkedContents(source, faults, document)
}

const checkedContents = (
  source: SourceText,
  faults: RecipeFaults,
  document: Document.Parsed,
): ParsedNode | null => {
  const span = (start: number, end: number): Span => ({ source, start, end })
  const { yaml } = document.directives
  if (yaml.explicit === true && (yaml.version as string) !== '1.2') {
    faults.add('RECIPE_YAML_VERSION', 'this is not YAML 1.2', directiveSpan(source), {
      expected: '%YAML 1.2',
      mend: 'remove the line: every recipe is YAML 1.2',
    })
    return null
  }
  let lastLine = 0
  let broken = false
  for (const complaint of [...document.errors, ...document.warnings]) {
    if (complaint.code === 'TAG_RESOLVE_FAILED') continue // the walk over the nodes tells it, with the tag's place
    broken = true
    const { message, start, end, ...detail } = grammarFault(source, complaint)
    const line = source.lineOf(start)
    if (line === lastLine) continue // one mistake makes several complaints on its line
    lastLine = line
    if (/version/i.test(complaint.message) && complaint.code === 'BAD_DIRECTIVE') {
      faults.add('RECIPE_YAML_VERSION', 'this is not YAML 1.2', span(start, end), {
        expected: '%YAML 1.2',
        mend: 'remove the line: every recipe is YAML 1.2',
      })
    } else faults.add('RECIPE_SYNTAX', message, span(start, end), detail)
  }
  if (broken) return null
  const contents = document.contents
  const nothing =
    contents === null || ('source' in contents && contents.source === '' && !contents.tag && !contents.anchor)
  if (
    nothing &&
    source.text
      .replace(/^\s*(#.*)?$/gm, '')
      .replace(/^(---|\.\.\.)?\s*/gm, '')
      .trim() === ''
  ) {
    faults.add('RECIPE_EMPTY', 'there is nothing in this file', span(0, 0), {
      expected: 'a recipe: recipe, song, groups',
      mend: 'start from one of the recipes in recipes/',
    })
    return null
  }
  return contents
}

/** Characters that no recipe needs and that YAML or a terminal reads in its own way. Reports the first. */
const oddCharacter = (source: SourceText, faults: RecipeFaults): boolean => {
  const match = /[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f]|\r(?!\n)/.exec(source.text)
  if (match === null) return false
  const at = { source, start: match.index, end: match.index + 1 }
  if (match[0] === '\r') {
    faults.add('RECIPE_SYNTAX', 'a line ends with a carriage return alone', at, {
      mend: 'save the file with line ends LF or CRLF',
    })
  } else {
    const code = match[0].charCodeAt(0).toString(16).toUpperCase().padStart(4, '0')
    faults.add('RECIPE_SYNTAX', `an invisible control character (U+${code})`, at, { mend: 'remove it' })
  }
  return true
}

const directiveSpan = (source: SourceText): Span => {
  const start = Math.max(0, source.text.search(/^%YAML/m))
  return { source, start, end: start + source.line(source.lineOf(start)).length }
}

const startOfSecond = (source: SourceText, second: Document.Parsed): number => {
  const marker = source.text.lastIndexOf('\n---', second.range[0])
  return marker >= 0 ? marker + 1 : second.range[0]
}
