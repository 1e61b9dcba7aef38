import { columnsOf } from './columns.js'

/** Columns that a text without control characters takes in a terminal. */
export const textWidth = (text: string): number => {
  let columns = 0
  for (const character of text) columns += columnsOf(character)
  return columns
}

/** Filled up to so many columns; longer texts stay as they are. */
export const padded = (text: string, columns: number, side: 'left' | 'right' = 'right'): string => {
  const space = ' '.repeat(Math.max(0, columns - textWidth(text)))
  return side === 'right' ? text + space : space + text
}

/** At most so many columns, the end cut off with a mark where it is longer. */
export const shortened = (text: string, columns: number): string => {
  if (textWidth(text) <= columns) return text
  let kept = ''
  for (const character of text) {
    if (textWidth(kept + character) > columns - 1) break
    kept += character
  }
  return `${kept}…`
}

/** Lines of at most so many columns, broken at spaces; a longer word stands alone. At least one line. */
export const wrapped = (text: string, columns: number): readonly string[] => {
  const lines: string[] = []
  let line = ''
  for (const word of text.split(' ')) {
    if (line !== '' && textWidth(line) + 1 + textWidth(word) > columns) {
      lines.push(line)
      line = word
    } else {
      line = line === '' ? word : `${line} ${word}`
    }
  }
  return [...lines, line]
}
