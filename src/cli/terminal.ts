import { wantsColour } from './colour.js'
import { EXIT } from './exit-status.js'

/** One output stream as the commands see it. */
export interface Terminal {
  write(text: string): void
  readonly isTerminal: boolean
  readonly colour: boolean
  /** Columns: the terminal's, 100 for files and pipes; at least 40. */
  width(): number
}

const WIDTH_ELSEWHERE = 100
const NARROWEST = 40

/** A stream as the commands write to it: its width in columns, its colour, and quiet once its reader has gone away. */
export const terminalOf = (stream: NodeJS.WriteStream, refuseColour: boolean): Terminal => {
  const isTerminal = stream.isTTY
  let open = true
  stream.on('error', (error: NodeJS.ErrnoException) => {
    // The reader went away (`sumwell measure … | head`): say no more, and say nothing about it. Anything else is a failure.
    open = false
    if (error.code !== 'EPIPE') process.exitCode = EXIT.failed
  })
  return {
    isTerminal,
    colour: wantsColour({ isTerminal, refused: refuseColour, environment: process.env }),
    width: () => Math.max(NARROWEST, isTerminal ? stream.columns : WIDTH_ELSEWHERE),
    write(text) {
      if (open) stream.write(text)
    },
  }
}
