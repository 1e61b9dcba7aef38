import { readFileSync } from 'node:fs'

/** What made a document: stands in every JSON output and in report.json. */
export interface Tool {
  readonly name: 'sumwell'
  readonly version: string
}

/** Name and version from package.json, which lies two folders above both `src/jobs` and `dist/jobs`. */
export const tool = (): Tool => {
  const text = readFileSync(new URL('../../package.json', import.meta.url), 'utf8')
  const { version } = JSON.parse(text) as { version: string }
  return { name: 'sumwell', version }
}
