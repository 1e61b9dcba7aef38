import { bytesToText } from '../desk/float-text.js'
import type { SoundBytes } from '../listen/listen.js'
import { html, type Markup, trusted } from './markup.js'

/** The recordings that the page plays, as base64 in elements that no browser executes. */
export const embeddedSounds = (sounds: SoundBytes): readonly Markup[] =>
  [...sounds].map(
    ([id, bytes]) =>
      html`<script type="application/octet-stream" id="${id}">${trusted(bytesToText(bytes))}</script>
`,
  )
