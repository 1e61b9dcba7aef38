import type { RecipeFaults } from '../recipe-faults.js'
import type { SourceText } from './source-text.js'

const ODD = /[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f]|\r(?!\n)/g

/**
 * Reports characters that no recipe needs and that YAML or a terminal reads in its own way: control characters, and a carriage
 * return alone, which some editors of old meant as a line end. True where one was found.
 */
export const reportOddCharacters = (source: SourceText, faults: RecipeFaults): boolean => {
  let found = false
  let lastLine = 0
  for (const match of source.text.matchAll(ODD)) {
    found = true
    const at = { source, start: match.index, end: match.index + 1 }
    if (match[0] === '\r') {
      faults.add('RECIPE_SYNTAX', 'a line ends with a carriage return alone', at, {
        expected: 'line ends LF or CRLF',
        mend: 'save the file with these line ends',
      })
      break // the whole file is one line then: once is enough
    }
    const line = source.lineOf(match.index)
    if (line === lastLine) continue // the first of a line is enough
    lastLine = line
    const code = match[0].charCodeAt(0).toString(16).toUpperCase().padStart(4, '0')
    faults.add('RECIPE_SYNTAX', `an invisible control character (U+${code})`, at, { mend: 'remove it' })
  }
  return found
}
