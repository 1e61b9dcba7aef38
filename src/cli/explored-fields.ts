import { cellsOf, type GridColumn } from '../report/explore/choices.js'
import type { Exploration } from '../report/explore/exploration.js'

/** What `explore --json` says: the page, and every blend on it with what is predicted of it (schemas/explore.schema.json). */
export const exploredFields = (recipe: string, page: string, exploration: Exploration) => {
  const { song, take, group, choices, figures, written, moves } = exploration
  const columns: readonly (GridColumn | null)[] = [
    ...choices.grids.flatMap(grid => grid.rows.flatMap(() => grid.columns)),
    ...choices.beside.map(() => null),
  ]
  return {
    recipe,
    song,
    take,
    group,
    page,
    blends: cellsOf(choices).map((cell, i) => {
      const known = figures[i] ?? null
      return {
        parts: cell.parts.map(({ source, weight, polarity }) => ({ source, weight, polarity })),
        aligned: cell.aligned,
        asDelivered: columns[i]?.asDelivered ?? null,
        evennessDb: known?.evennessDb ?? null,
        worstLossDb: known?.worst?.lossDb ?? null,
        worstLossHz: known?.worst?.hz ?? null,
        recipeLines: written[i]!,
      }
    }),
    moves: moves.map(({ source, because }) => ({ source, because })),
  }
}
