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
