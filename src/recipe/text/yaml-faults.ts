import type { YAMLError } from 'yaml'
import type { FaultDetail } from '../recipe-faults.js'
import type { SourceText } from './source-text.js'
import type { TokenLook } from './token-look.js'

/** What is wrong with the grammar at a place, in words for an engineer; the parser's own message only helps to tell cases apart. */
export interface GrammarFault extends FaultDetail {
  readonly message: string
  readonly start: number
  readonly end: number
}

type Words = readonly [message: string, mend: string]

const BY_CODE: Readonly<Partial<Record<YAMLError['code'], Words>>> = {
  BAD_DIRECTIVE: ['this line that starts with % is not understood', 'remove the line'],
  BAD_DQ_ESCAPE: [
    'a backslash in double quotes starts no known character',
    'write paths with forward slashes, or use single quotes',
  ],
  BAD_INDENT: ['the indentation does not fit', 'indent with spaces, the same number for things side by side'],
  BAD_SCALAR_START: ['a text may not start with this character', 'put the text in quotes'],
  BLOCK_AS_IMPLICIT_KEY: [
    'a second colon or a list on one line',
    'put the text in quotes, or start a new line',
  ],
  BLOCK_IN_FLOW: [
    'inside { } or [ ] everything is separated by commas',
    'write it with commas, or as indented lines without brackets',
  ],
  KEY_OVER_1024_CHARS: [
    'this key is over 1024 characters long',
    'is a line end or a quote missing before it?',
  ],
  MISSING_CHAR: ['a character is missing here', 'compare with the lines around it'],
  MULTILINE_IMPLICIT_KEY: [
    'this line has no key of its own',
    'write  key: value  with a space after the colon',
  ],
  RESOURCE_EXHAUSTION: ['this is nested too deeply', 'a recipe has five levels'],
  TAB_AS_INDENT: ['a tab stands in the indentation', 'indent with spaces'],
  UNEXPECTED_TOKEN: ['this is not expected here', 'put texts with special characters in quotes'],
}

const BY_MESSAGE: readonly (readonly [RegExp, Words])[] = [
  [/followed by map values/, ['a key without its colon', 'write  key: value']],
  [/between .* items/, ['a comma is missing', 'separate what stands in { } or [ ] by commas']],
  [/Unexpected ,|empty item/, ['a comma too many', 'remove it']],
  [
    /Comments must be/,
    ['a comment needs a space before its #', 'put a space before #, or quotes around the text'],
  ],
  [
    /without - indicator/,
    ['an item of a list without its hyphen', 'start each item with a hyphen and a space'],
  ],
  [/directives-end/, ['after a line with % the text must start with a line ---', 'remove the line with %']],
]

const NOT_UNDERSTOOD: Words = ['this is not understood', 'compare with the lines around it']

/** Turns a complaint of the parser into a fault with the place where an engineer would look. */
export const grammarFault = (source: SourceText, error: YAMLError, look: TokenLook): GrammarFault => {
  const [start, end] = error.pos
  const unclosed = unclosedFault(error, look)
  if (unclosed !== null) return unclosed
  const colon = missingSpaceAfterColon(source, start)
  if (colon !== null) {
    const mend = 'write  key: value  with a space after the colon'
    return { message: 'the space after the colon is missing', start: colon, end: colon + 1, mend }
  }
  const deeper = /IMPLICIT_KEY/.test(error.code) ? indentedUnderText(source, start) : null
  if (deeper !== null) {
    const message = 'this line is indented under a line that has its value already'
    return { message, start: deeper, end: deeper + 1, mend: 'indent it like the line above' }
  }
  const [message, mend] =
    BY_MESSAGE.find(([pattern]) => pattern.test(error.message))?.[1] ?? BY_CODE[error.code] ?? NOT_UNDERSTOOD
  return { message, mend, start, end: Math.max(end, start + 1) }
}

/** The parser complains where the text ends; people look for where the quote or the bracket was opened. */
const unclosedFault = (error: YAMLError, look: TokenLook): GrammarFault | null => {
  if (look.openQuoteAt !== null && error.code === 'MISSING_CHAR' && /closing ['"]/.test(error.message)) {
    const message = 'this quote is opened and never closed'
    const start = look.openQuoteAt
    return { message, start, end: start + 1, mend: 'close the quote on the same line' }
  }
  if (look.openBracketAt !== null && /end with a/.test(error.message)) {
    const message = 'this bracket is opened and never closed'
    const start = look.openBracketAt
    return { message, start, end: start + 1, mend: 'close it with } or ]' }
  }
  return null
}

/** Offset of the colon in `key:value` on the line of a complaint; the parser complains about such a line in odd words. */
const missingSpaceAfterColon = (source: SourceText, offset: number): number | null => {
  const number = source.lineOf(offset)
  const match = /^\s*(?:- +)?[\p{L}\p{N}_-]+(:)[^\s:/\\]/u.exec(source.line(number))
  return match === null ? null : source.lineStart(number) + match[0].length - 2
}

/** Where the line below `key: value` starts, if it is indented deeper and the line of the complaint has no second colon. */
const indentedUnderText = (source: SourceText, offset: number): number | null => {
  const number = source.lineOf(offset)
  const line = source.line(number)
  const next = source.line(number + 1)
  if (/:\s.*:(\s|$)/.test(line) || next.trim() === '') return null
  const indent = (text: string): number => /^ */.exec(text)![0].length
  return indent(next) > indent(line) ? source.lineStart(number + 1) + indent(next) : null
}
