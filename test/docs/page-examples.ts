import type { Page } from './pages.js'

/**
 * What a page shows as something that one could type, keep or see: `call` a command line (or a script of a shell), `yaml`, `js` and `json` a piece
 * of such a text, `shown` what a program prints, a formula or a drawing.
 */
export interface Example {
  readonly page: string
  /** Line of the page, from 1. */
  readonly line: number
  readonly kind: 'call' | 'yaml' | 'js' | 'json' | 'shown'
  readonly text: string
}

const LANGUAGES: Readonly<Record<string, Example['kind']>> = {
  yaml: 'yaml',
  js: 'js',
  json: 'json',
  jsonc: 'json',
  text: 'shown',
}

/** Words with which a command line begins. */
const COMMAND = /^(?:sumwell|npm|npx|node|bash|sh|git|sox|ffmpeg|sha256sum|parallel|exec|\.ci\/[\w-]+)(?: |$)/

const withoutComment = (line: string): string => line.replace(/\s+# .*$/, '').trim()

type Part = Omit<Example, 'page'>

/** The lines between two fences. */
const inFence = (line: number, language: string, body: readonly string[]): readonly Part[] => {
  const text = body.join('\n')
  const kind = LANGUAGES[language]
  if (kind !== undefined) return [{ line, kind, text }]
  if (!text.startsWith('$ ')) return [{ line, kind: 'shown', text }]
  const calls = body.flatMap((one, i) =>
    /^(\$| ) ?sumwell /.test(one)
      ? [{ line: line + 1 + i, kind: 'call' as const, text: one.replace(/^\$/, '').trim() }]
      : [],
  )
  return calls.length > 0 ? calls : [{ line, kind: 'shown', text }]
}

/** Lines that stand in by four spaces. */
const inset = (line: number, body: readonly string[]): readonly Part[] => {
  if (body[0]?.startsWith('#!') === true) return [{ line, kind: 'call', text: body.join('\n') }]
  const calls = body.flatMap((one, i) =>
    COMMAND.test(one) ? [{ line: line + i, kind: 'call' as const, text: withoutComment(one) }] : [],
  )
  return calls.length > 0 ? calls : [{ line, kind: 'shown', text: body.join('\n') }]
}

/** Calls between words. A name alone, `sumwell check`, only names a command. */
const inWords = (line: number, words: string): readonly Part[] =>
  [...words.matchAll(/`([^`]+)`/g)].flatMap(([, code = '']) =>
    COMMAND.test(code) && !/^(sumwell|npx|npm|sox|ffmpeg|exec) ?[a-z0-9]*$|…/.test(code)
      ? [{ line, kind: 'call' as const, text: code }]
      : [],
  )

/** Every example of a page, in the order in which they stand there. */
export const examplesOf = ({ name: page, text }: Page): readonly Example[] => {
  const lines = text.split('\n')
  const found: Part[] = []
  for (let i = 0; i < lines.length; i++) {
    const line = lines[i]!
    const fence = /^```(\w*)/.exec(line)
    if (fence !== null) {
      const end = lines.indexOf('```', i + 1)
      if (end < 0) throw new Error(`${page}:${i + 1}: a fence without an end`)
      found.push(...inFence(i + 1, fence[1]!, lines.slice(i + 1, end)))
      i = end
    } else if (line.startsWith('    ') && (lines[i - 1] ?? '') === '') {
      let end = i
      while (lines[end]?.startsWith('    ') === true) end++
      found.push(
        ...inset(
          i + 1,
          lines.slice(i, end).map(one => one.slice(4)),
        ),
      )
      i = end - 1
    } else found.push(...inWords(i + 1, line))
  }
  return found.map(part => ({ page, ...part }))
}
