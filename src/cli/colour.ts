/** What decides about colour on one stream. */
export interface ColourQuestion {
  readonly isTerminal: boolean
  /** `--no-color` was given. */
  readonly refused: boolean
  readonly environment: Readonly<Record<string, string | undefined>>
}

/** Colour only on a terminal that is not `dumb`, and never where `--no-color` or NO_COLOR (set and not empty) says no. */
export const wantsColour = ({ isTerminal, refused, environment }: ColourQuestion): boolean =>
  isTerminal && !refused && !environment['NO_COLOR'] && environment['TERM'] !== 'dumb'

type Tint = 'bold' | 'dim' | 'red' | 'yellow' | 'green'

const CODES: Readonly<Record<Tint, readonly [number, number]>> = {
  bold: [1, 22],
  dim: [2, 22],
  red: [31, 39],
  yellow: [33, 39],
  green: [32, 39],
}

/** The text in that tint, or as it is where `colour` is false. Nothing is ever told by colour alone. */
export const tinted = (text: string, tint: Tint, colour: boolean): string =>
  colour ? `\u001b[${CODES[tint][0]}m${text}\u001b[${CODES[tint][1]}m` : text
