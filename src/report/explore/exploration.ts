import type { DeskBlend } from '../desk/desk.js'
import type { Listen } from '../listen/listen.js'
import type { CellFigures } from './cell-figures.js'
import type { Cell, Choices } from './choices.js'

/** Everything that the page of `explore` is drawn from, but for the sound. */
export interface Exploration {
  readonly tool: { readonly version: string }
  readonly song: string
  readonly take: string | null
  readonly recipeFile: string
  readonly group: string
  readonly sampleRateHz: number
  readonly listen: Listen
  /** The blend of all sources at equal shares, lined up. */
  readonly equal: DeskBlend
  readonly choices: Choices
  /** One per cell, in the order of `cellsOf`. */
  readonly figures: readonly (CellFigures | null)[]
  readonly written: readonly string[]
  /** What lined up means here, source by source. */
  readonly moves: readonly { readonly source: string; readonly because: string }[]
}

/** What the page carries for its script. */
export interface Explorable {
  readonly sampleRateHz: number
  readonly listen: Listen
  readonly equal: DeskBlend
  readonly cells: readonly { readonly cell: Cell; readonly words: string; readonly written: string }[]
  /** The number of the cell that all others are matched to. */
  readonly reference: number
}
