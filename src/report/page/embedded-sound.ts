import { escaped } from './markup.js'

/** Bytes of sound that are turned into text at a time: a multiple of three, so that the pieces of base64 join without a seam. */
const PIECE_BYTES = 3 * 16_384

/** One recording that the page plays, as base64 in an element that no browser executes; piece by piece, as it is megabytes. */
export function* embeddedSound([id, bytes]: readonly [string, Uint8Array]): Generator<string> {
  yield `<script type="application/octet-stream" id="${escaped(id)}">`
  for (let at = 0; at < bytes.length; at += PIECE_BYTES) {
    const length = Math.min(PIECE_BYTES, bytes.length - at)
    yield Buffer.from(bytes.buffer, bytes.byteOffset + at, length).toString('base64')
  }
  yield '</script>\n'
}
