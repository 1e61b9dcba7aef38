import type { DeskBlend, DeskStrip } from '../desk/desk.js'
import { linesHead, nameText, numberText } from '../desk/write-down.js'
import type { Cell, CellPart } from './choices.js'

export interface WrittenCellInput {
  readonly recipeFile: string
  readonly song: string
  readonly group: string
  /** A name that no blend of the song has. */
  readonly name: string
  /** The blend of all sources as it would be delivered. */
  readonly equal: DeskBlend
  readonly cell: Cell
}

const polarityText = ({ polarity }: CellPart): string =>
  `polarity: ${polarity === 'inverted' ? 'inverted' : 'as-recorded'}`

/** What a source has to say beside what the recipe says already. */
const saysOf = (strip: DeskStrip, part: CellPart, stays: boolean): readonly string[] => {
  const turned = part.polarity !== strip.polarity
  // Where a doubt kept a source in its place, stating the polarity alone could settle the doubt and move it.
  const kept = !strip.isReference && strip.lagSamples === 0 ? ['lag: as-recorded'] : []
  if (!stays) return turned ? [...kept, polarityText(part)] : []
  if (strip.isReference) return turned ? [polarityText(part)] : []
  return ['lag: as-recorded', ...(strip.nudgeSamples === 0 ? [] : ['nudge: 0 ms']), polarityText(part)]
}

/** The lines for the recipe that make a render give a cell. */
export const writtenCell = ({ recipeFile, song, group, name, equal, cell }: WrittenCellInput): string => {
  // As recorded is one word of the blend; as recorded with a source turned over has to be said source by source.
  const stays = !cell.aligned && cell.parts.some(({ polarity }) => polarity === 'inverted')
  const sources =
    cell.aligned || stays
      ? cell.parts.flatMap(part => {
          const strip = equal.strips.find(({ source }) => source === part.source)!
          const says = saysOf(strip, part, stays)
          return says.length === 0 ? [] : [`      ${nameText(part.source)}: { ${says.join(', ')} }`]
        })
      : []
  const parts = cell.parts.map(({ source, weight }) => `${nameText(source)}: ${numberText(weight, 4)}`)
  const asRecorded = cell.aligned || stays ? '' : ', aligned: false'
  return [
    ...linesHead(recipeFile, song),
    ...(sources.length > 0 ? ['# What is said of a source holds for every blend of the group.'] : []),
    'groups:',
    `  ${nameText(group)}:`,
    ...(sources.length > 0 ? ['    sources:', ...sources] : []),
    '    blends:',
    `      ${nameText(name)}: { parts: { ${parts.join(', ')} }${asRecorded} }`,
    '',
  ].join('\n')
}
