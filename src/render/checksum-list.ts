import { NotPlain, readPlain } from '../terms/plain-file.js'
import { systemCode } from '../wave/wave-faults.js'

/** Name of the list in a folder of delivery. It is put there last: a folder without it is not complete. */
export const CHECKSUM_LIST = 'SHA256SUMS'

/** SHA-256 of each file of a delivery, by its name. */
export type Checksums = ReadonlyMap<string, string>

/** The list as `sha256sum -c` reads it: one line per file, by name, in the order of their bytes. */
export const checksumText = (sums: Checksums): string =>
  [...sums]
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([name, sha256]) => `${sha256}  ${name}\n`)
    .join('')

/** A delivery of a thousand stems has some 120 kB. */
export const LARGEST_LIST_BYTES = 16 * 2 ** 20
const LINE = /^([0-9a-f]{64}) [ *]([^/\\\0]+)$/

/** Reads such a list; lines that are none are passed over. Null where there is no list. @throws the system's error where it cannot be read */
export const readChecksums = (file: string): Checksums | null => {
  let text: string
  try {
    text = readPlain(file, LARGEST_LIST_BYTES).toString('utf8')
  } catch (error) {
    if (error instanceof NotPlain || ['ENOENT', 'ENOTDIR'].includes(systemCode(error))) return null
    throw error
  }
  const lines = text.split('\n')
  return new Map(
    lines.flatMap(line => {
      const [, sha256, name] = LINE.exec(line) ?? []
      const isName = name !== undefined && name !== '.' && name !== '..'
      return sha256 !== undefined && isName ? [[name, sha256] as const] : []
    }),
  )
}
