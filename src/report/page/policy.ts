import { createHash } from 'node:crypto'

const hashOf = (text: string): string =>
  `'sha256-${createHash('sha256').update(text, 'utf8').digest('base64')}'`

/**
 * What the page may do: its own style sheet and scripts, known by their hashes, and nothing else. No network, no forms, no frames.
 * The hash covers the exact text between the tags.
 */
export const policyFor = (styles: readonly string[], scripts: readonly string[]): string =>
  [
    "default-src 'none'",
    `style-src ${styles.map(hashOf).join(' ')}`,
    `script-src ${scripts.length > 0 ? scripts.map(hashOf).join(' ') : "'none'"}`,
    "base-uri 'none'",
    "form-action 'none'",
  ].join('; ')
