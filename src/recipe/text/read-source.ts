import { closeSync, fstatSync, readSync } from 'node:fs'
import { type Fault, fault } from '../../terms/fault.js'
import { NotPlain, openPlain } from '../../terms/plain-file.js'
import { SourceText } from './source-text.js'

/** A song of several hundred sources takes some 40 kB; parsing time grows with the size. */
export const MAX_RECIPE_BYTES = 256 * 1024

/** Reads a recipe (or a lock) as UTF-8 text. Returns the text, or the one fault that keeps it from being read. */
export const readSource = (
  path: string,
  shown: string,
  maxBytes: number = MAX_RECIPE_BYTES,
): SourceText | Fault => {
  const bytes = readBytes(path, shown, maxBytes)
  if ('code' in bytes) return bytes
  try {
    return new SourceText(path, shown, new TextDecoder('utf-8', { fatal: true }).decode(bytes))
  } catch {
    return notUtf8(bytes, path, shown)
  }
}

const readBytes = (path: string, shown: string, maxBytes: number): Buffer | Fault => {
  let descriptor: number
  try {
    descriptor = openPlain(path)
  } catch (cause) {
    return unreadable(shown, cause)
  }
  try {
    const { size } = fstatSync(descriptor)
    if (size > maxBytes) return tooLarge(shown, size, maxBytes)
    const bytes = Buffer.alloc(maxBytes + 1)
    let filled = 0
    for (;;) {
      const count = readSync(descriptor, bytes, filled, bytes.length - filled, null)
      if (count === 0) return bytes.subarray(0, filled)
      filled += count
      if (filled > maxBytes) return tooLarge(shown, filled, maxBytes)
    }
  } catch (cause) {
    return unreadable(shown, cause)
  } finally {
    closeSync(descriptor)
  }
}

const unreadable = (shown: string, cause: unknown): Fault => {
  if (cause instanceof NotPlain) {
    return fault('RECIPE_UNREADABLE', `this ${cause.message}`, {
      file: shown,
      mend: 'give the recipe file itself',
    })
  }
  const code = (cause as NodeJS.ErrnoException).code
  const why =
    code === 'ENOENT' || code === 'ENOTDIR'
      ? 'there is no such file'
      : code === 'EACCES' || code === 'EPERM'
        ? 'the file may not be read'
        : `the file cannot be read (${code ?? 'unknown reason'})`
  return fault('RECIPE_UNREADABLE', why, { file: shown, mend: 'check the path and the rights' })
}

const tooLarge = (shown: string, bytes: number, maxBytes: number): Fault =>
  fault('RECIPE_TOO_LARGE', `the file has ${bytes} bytes or more`, {
    file: shown,
    expected: `at most ${maxBytes} bytes`,
    mend: 'give a recipe, one song per file; is this a recording?',
  })

const notUtf8 = (bytes: Buffer, path: string, shown: string): Fault => {
  // The first line that does not decode by itself; line feeds are never part of a longer character in UTF-8.
  let start = 0
  for (;;) {
    const next = bytes.indexOf(0x0a, start)
    const end = next < 0 ? bytes.length : next
    try {
      new TextDecoder('utf-8', { fatal: true }).decode(bytes.subarray(start, end))
    } catch {
      break
    }
    if (next < 0) break
    start = next + 1
  }
  const lossy = new TextDecoder('utf-8')
  const before = lossy.decode(bytes.subarray(0, start))
  const source = new SourceText(path, shown, before + lossy.decode(bytes.subarray(start)))
  const odd = source.text.indexOf('\ufffd', before.length)
  const at = odd < 0 ? before.length : odd
  return fault('RECIPE_NOT_UTF8', 'a character is not UTF-8', {
    place: source.place(at, at + 1),
    expected: 'text in UTF-8',
    mend: 'save the file as UTF-8 in the editor',
  })
}
