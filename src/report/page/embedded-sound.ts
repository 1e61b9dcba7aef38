import { html, type Markup, trusted } from './markup.js'

/** One recording that the page plays, as base64 in an element that no browser executes. */
export const embeddedSound = ([id, bytes]: readonly [string, Uint8Array]): Markup => {
  const text = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength).toString('base64')
  return html`<script type="application/octet-stream" id="${id}">${trusted(text)}</script>
`
}
