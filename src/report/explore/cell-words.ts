import type { Cell, CellPart } from './choices.js'

/** Where the parts of a cell lie. */
export const placeWords = (aligned: boolean): string => (aligned ? 'lined up' : 'as recorded')

const shareWords = (cell: Cell, { source, weight, polarity }: CellPart): string => {
  const all = cell.parts.reduce((sum, part) => sum + part.weight, 0)
  return `${source} ${Math.round((100 * weight) / all)} %${polarity === 'inverted' ? ' inverted' : ''}`
}

/** A cell in words: "piezo 80 %, bridge 20 % inverted, lined up". */
export const cellWords = (cell: Cell): string =>
  cell.parts.length === 1
    ? `${cell.parts[0]!.source} alone`
    : `${cell.parts.map(part => shareWords(cell, part)).join(', ')}, ${placeWords(cell.aligned)}`
