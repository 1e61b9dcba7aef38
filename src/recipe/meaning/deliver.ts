import { dirname, resolve } from 'node:path'
import { fieldOf, type Located, type LocatedScalar, textOf } from '../located.js'
import type { Deliver, Depth } from '../session.js'
import { cleanName } from '../words/clean-name.js'
import { DEFAULT_NAME_TEMPLATE, NAME_WORDS } from '../words/stem-name.js'
import { checkedStretch } from './align.js'
import type { MeaningContext } from './context.js'
import type { GroupDraft } from './draft.js'
import { checkPlaceholders, filledIn } from './placeholder-check.js'
import { checkRange, quantityAt } from './quantities.js'
import { singleStemsOf } from './single-stems.js'

const CEILING_RANGE = { from: -60, to: 0, shown: 'from -60 dBTP to 0 dBTP' }
const CEILING_DBTP = -1

/** The delivery with its defaults. Reports a folder outside the tree, unknown stems and placeholders, a ceiling out of range. */
export const deliverOf = (
  root: Located,
  recipeFile: string,
  groups: ReadonlyMap<string, GroupDraft>,
  context: MeaningContext,
): Deliver => {
  const node = fieldOf(root, 'deliver')
  const ceilingNode = fieldOf(node, 'ceiling')
  const ceiling = quantityAt(ceilingNode, 'truePeak')
  if (ceiling !== null) checkRange(ceilingNode, ceiling.value, CEILING_RANGE, context.faults)
  const nameNode = fieldOf(node, 'name')
  const name = textOf(nameNode)
  if (nameNode !== undefined && name !== undefined) {
    checkPlaceholders(nameNode as LocatedScalar, name, NAME_WORDS, context)
  }
  return {
    folder: folderOf(fieldOf(node, 'folder'), recipeFile, context),
    depth: depthOf(fieldOf(node, 'depth')),
    stems: singleStemsOf(fieldOf(node, 'stems'), groups, context),
    ceilingDbtp: ceiling?.value ?? CEILING_DBTP,
    nameTemplate: name ?? DEFAULT_NAME_TEMPLATE,
    report: {
      listen: listenOf(fieldOf(fieldOf(root, 'report'), 'listen'), groups, context),
      dated: isTrue(fieldOf(fieldOf(root, 'report'), 'dated')),
    },
  }
}

const folderOf = (node: Located | undefined, recipeFile: string, context: MeaningContext): string => {
  const { tree, faults, song, take } = context
  const text = textOf(node)
  if (node === undefined || text === undefined) {
    const ofTake = take === null ? '' : `-take${cleanName(take.text)}`
    return resolve(dirname(recipeFile), 'stems', `${cleanName(song.text)}${ofTake}`)
  }
  const folder = resolve(
    dirname(node.at.source.path),
    filledIn(node as LocatedScalar, text, 'cleaned', context),
  )
  if (faults.toldAt(node.at)) return folder
  if (!tree.holds(folder)) {
    faults.add('RECIPE_OUTSIDE', 'the delivery folder lies outside the folder of the recipe', node.at, {
      expected: "a folder in the recipe's folder or below it",
      mend: 'choose a folder there, or allow it with --allow-outside',
    })
  } else if (!['folder', 'missing'].includes(tree.files.kindOf(folder))) {
    faults.add('RECIPE_VALUE', 'the delivery folder is a file', node.at, {
      expected: 'a folder, or a name that is still free',
      mend: 'choose another name',
    })
  }
  return folder
}

const depthOf = (node: Located | undefined): Depth | null => {
  const value = node?.kind === 'scalar' ? node.value : null
  return value === 16 || value === 24 || value === 32 || value === '32f' ? value : null
}

const isTrue = (node: Located | undefined): boolean => node?.kind === 'scalar' && node.value === true

const listenOf = (
  node: Located | undefined,
  groups: ReadonlyMap<string, GroupDraft>,
  context: MeaningContext,
): Deliver['report']['listen'] => {
  if (node === undefined) return null
  const lengths = [...groups.values()].flatMap(group =>
    [...group.sources.values()].flatMap(source =>
      source.kind === 'file' && source.file.facts !== null
        ? [source.file.facts.frames / source.file.facts.sampleRateHz]
        : [],
    ),
  )
  const longest = lengths.length === 0 ? null : lengths.reduce((a, b) => Math.max(a, b))
  return checkedStretch(node, longest, 'the longest source', context)
}
