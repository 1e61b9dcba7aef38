import { bytesToText } from '../desk/float-text.js'
import { html, type Markup, trusted } from './markup.js'

/** One recording that the page plays, as base64 in an element that no browser executes. */
export const embeddedSound = ([id, bytes]: readonly [string, Uint8Array]): Markup =>
  html`<script type="application/octet-stream" id="${id}">${trusted(bytesToText(bytes))}</script>
`
