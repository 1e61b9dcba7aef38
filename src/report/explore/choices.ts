import type { Polarity } from '../../measure/measurement.js'

/** One source in a blend to compare. */
export interface CellPart {
  readonly source: string
  /** Amplitude weight against the other parts, as in `parts` of a recipe. Above 0. */
  readonly weight: number
  /** Against how it was recorded. */
  readonly polarity: Polarity
}

/** One blend to compare: how much of each source, which way round, and whether lined up or where it was recorded. */
export interface Cell {
  readonly parts: readonly CellPart[]
  readonly aligned: boolean
}

export interface GridColumn {
  readonly aligned: boolean
  /** Of the second source. */
  readonly polarity: Polarity
  /** The way round in which a render delivers it. */
  readonly asDelivered: boolean
}

/** The reference against one other source: a row per ratio, a column per way of putting them together. */
export interface Grid {
  readonly first: string
  readonly second: string
  readonly columns: readonly GridColumn[]
  readonly rows: readonly {
    readonly weights: readonly [first: number, second: number]
    /** One per column. */
    readonly cells: readonly Cell[]
  }[]
}

export interface Choices {
  readonly grids: readonly Grid[]
  /** The reference alone first; then, of more than two sources, all at equal shares. */
  readonly beside: readonly Cell[]
}

/** What is known of a group before its blends are laid out. */
export interface Explored {
  readonly reference: string
  readonly sources: readonly {
    readonly name: string
    /** In which it is delivered when lined up. */
    readonly polarity: Polarity
    /** It is a group of its own: a recipe cannot leave it where it is and turn it over at once. */
    readonly isGroup: boolean
  }[]
}

/** Shares of the first and the second source: far to either side, a little, and even. */
export const RATIOS: readonly (readonly [number, number])[] = [
  [80, 20],
  [65, 35],
  [50, 50],
  [35, 65],
  [20, 80],
]

const WAYS: readonly Polarity[] = ['normal', 'inverted']

/** All blends of a group that are put side by side. The group has two sources or more. */
export const choicesOf = ({ reference, sources }: Explored): Choices => {
  const first = sources.find(({ name }) => name === reference)!
  const part = (source: typeof first, weight: number, aligned: boolean): CellPart => ({
    source: source.name,
    weight,
    polarity: aligned ? source.polarity : 'normal',
  })
  const gridWith = (second: typeof first): Grid => {
    const columns = [true, false].flatMap(aligned =>
      WAYS.filter(way => aligned || way === 'normal' || !second.isGroup).map(polarity => ({
        aligned,
        polarity,
        asDelivered: aligned && polarity === second.polarity,
      })),
    )
    return {
      first: first.name,
      second: second.name,
      columns,
      rows: RATIOS.map(weights => ({
        weights,
        cells: columns.map(({ aligned, polarity }) => ({
          aligned,
          parts: [part(first, weights[0], aligned), { source: second.name, weight: weights[1], polarity }],
        })),
      })),
    }
  }
  const allEqual = (aligned: boolean): Cell => ({
    aligned,
    parts: sources.map(source => part(source, 1, aligned)),
  })
  return {
    grids: sources.filter(({ name }) => name !== reference).map(gridWith),
    beside: [
      { aligned: true, parts: [part(first, 1, true)] },
      ...(sources.length > 2 ? [allEqual(true), allEqual(false)] : []),
    ],
  }
}

/** Every cell in the order of the page: its place in this list is its number there. */
export const cellsOf = ({ grids, beside }: Choices): readonly Cell[] => [
  ...grids.flatMap(({ rows }) => rows.flatMap(({ cells }) => cells)),
  ...beside,
]
