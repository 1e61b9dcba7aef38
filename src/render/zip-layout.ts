import { type Field, joined, packed } from '../wave/little-endian.js'

/** One file inside an archive. */
export interface ZipEntry {
  /** Path inside the archive, forward slashes. */
  readonly name: string
  readonly bytes: number
  readonly crc32: number
}

/** The bytes around the files of an archive: one header before each, and the directory after the last. */
export interface ZipLayout {
  readonly headers: readonly Uint8Array[]
  readonly directory: Uint8Array
  readonly totalBytes: number
}

/** Values from here on do not fit and stand in a field of 64 bits instead. */
const LARGEST_32 = 0xffffffff
const MOST_ENTRIES_16 = 0xffff
/** 1 January 1980, midnight: the earliest day that the format knows. The same for every file, so that the same files give the same bytes. */
const DOS_DATE = 0x21
const UTF8_NAMES = 0x0800
/** Versions of the format that a reader has to know: 2.0, and 4.5 for sizes over 32 bits. */
const PLAIN = 20
const LONG = 45
/** Made on a system with these rights: a plain file, read by all, written by its owner. */
const MADE_BY = (3 << 8) | LONG
const RIGHTS = 0o100644 * 0x10000

const record = (fields: readonly Field[], ...rest: readonly Uint8Array[]): Uint8Array =>
  joined([packed(...fields), ...rest])

/**
 * Lays out an archive whose files are stored as they are (sound hardly packs), field by field in the order of the format. The numbers of the format are from memory: APPNOTE 6.3, PKWARE's
 * published description; other programs read the result in the tests.
 * @param largest the largest size and offset that is written in 32 bits
 */
export const layOutZip = (entries: readonly ZipEntry[], largest = LARGEST_32 - 1): ZipLayout => {
  const short = (value: number): number => (value > largest ? LARGEST_32 : value)
  const headers: Uint8Array[] = []
  const lines: Uint8Array[] = []
  let at = 0
  for (const { name, bytes, crc32 } of entries) {
    const text = new TextEncoder().encode(name)
    const long = bytes > largest
    const sizes: readonly Field[] = long
      ? [
          [8, bytes],
          [8, bytes],
        ]
      : []
    const extra = extended(sizes)
    const common = (version: number, length: number): readonly Field[] => [
      [2, version],
      [2, UTF8_NAMES],
      [2, 0],
      [2, 0],
      [2, DOS_DATE],
      [4, crc32],
      [4, short(bytes)],
      [4, short(bytes)],
      [2, text.length],
      [2, length],
    ]
    headers.push(record([[4, 0x04034b50], ...common(long ? LONG : PLAIN, extra.length)], text, extra))
    const far = at > largest
    const more = extended([...sizes, ...(far ? [[8, at] as const] : [])])
    const version = long || far ? LONG : PLAIN
    lines.push(
      record(
        [
          [4, 0x02014b50],
          [2, MADE_BY],
          ...common(version, more.length),
          [2, 0],
          [2, 0],
          [2, 0],
          [4, RIGHTS],
          [4, short(at)],
        ],
        text,
        more,
      ),
    )
    at += headers.at(-1)!.length + bytes
  }
  const size = lines.reduce((sum, line) => sum + line.length, 0)
  const count = entries.length
  const longEnd =
    at > largest || size > largest || count >= MOST_ENTRIES_16
      ? [
          record([
            [4, 0x06064b50],
            [8, 44],
            [2, MADE_BY],
            [2, LONG],
            [4, 0],
            [4, 0],
            [8, count],
            [8, count],
            [8, size],
            [8, at],
          ]),
          record([
            [4, 0x07064b50],
            [4, 0],
            [8, at + size],
            [4, 1],
          ]),
        ]
      : []
  const shown = Math.min(count, MOST_ENTRIES_16)
  const end = record([
    [4, 0x06054b50],
    [2, 0],
    [2, 0],
    [2, shown],
    [2, shown],
    [4, short(size)],
    [4, short(at)],
    [2, 0],
  ])
  const directory = record([], ...lines, ...longEnd, end)
  return { headers, directory, totalBytes: at + directory.length }
}

const extended = (fields: readonly Field[]): Uint8Array =>
  fields.length === 0 ? new Uint8Array(0) : record([[2, 1], [2, 8 * fields.length], ...fields])
