import fs from 'node:fs'

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

const LINE = /^([0-9a-f]{64}) [ *]([^/\\]+)$/

/** Reads such a list; lines that are none are passed over. Null where there is no list. @throws the system's error where it cannot be read */
export const readChecksums = (file: string): Checksums | null => {
  if (fs.statSync(file, { throwIfNoEntry: false })?.isFile() !== true) return null
  const lines = fs.readFileSync(file, 'utf8').split('\n')
  return new Map(
    lines.flatMap(line => {
      const [, sha256, name] = LINE.exec(line) ?? []
      return sha256 === undefined || name === undefined ? [] : [[name, sha256] as const]
    }),
  )
}
