import { visibleText } from '../../terms/visible-text.js'

/** Text from a recipe or a file as plain words in Markdown: unseen characters written out, everything that could be markup escaped. */
export const plainMarkdown = (text: string): string =>
  visibleText(text).replace(/[\\`*_[\]<>#|~&@]|:(?=\S)/g, '\\$&')

/** A file name as it is typed: our stems hold letters, digits and underscores, and any other falls back to plain words. */
export const typedMarkdown = (name: string): string =>
  /^[\w.-]+$/.test(name) ? `\`${name}\`` : plainMarkdown(name)

/** A table; cells are Markdown already and hold no line break. */
export const markdownTable = (
  heads: readonly string[],
  rows: readonly (readonly string[])[],
): readonly string[] => [
  `| ${heads.join(' | ')} |`,
  `|${heads.map(() => '---').join('|')}|`,
  ...rows.map(row => `| ${row.join(' | ')} |`),
]
