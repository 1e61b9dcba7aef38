import { join } from 'node:path'
import { entriesOf, fieldOf, type Located, type Span } from '../located.js'
import type { Deliver } from '../session.js'
import { placeholdersIn } from '../words/placeholders.js'
import { NAME_WORDS, singleStem, stemFileName } from '../words/stem-name.js'
import type { MeaningContext } from './context.js'
import type { GroupDraft } from './draft.js'
import { slateFound } from './slate.js'

/** Longest file name in bytes; most file systems end at 255, and a temporary name needs some room. */
const MAX_NAME_BYTES = 200

interface Stem {
  readonly shown: string
  readonly at: Span
  readonly fileName: string
}

/** Reports stems that would have one name, no name or too long a name, and stems that would be written over a source. */
export const checkStemNames = (
  root: Located,
  groups: ReadonlyMap<string, GroupDraft>,
  deliver: Deliver,
  context: MeaningContext,
): void => {
  const { faults, tree, song, take } = context
  const wordTold = [song, take].some(word => word !== null && word.at !== null && faults.toldAt(word.at))
  if (wordTold) return
  const stems = [...groups.values()].flatMap(group => stemsOfGroup(group, deliver, context))
  const template = fieldOf(fieldOf(root, 'deliver'), 'name')
  if (template !== undefined) {
    if (faults.toldAt(template.at) || template.kind !== 'scalar') return
    const misspelt = placeholdersIn(deliver.nameTemplate).some(({ word }) => !NAME_WORDS.includes(word))
    if (misspelt) return
    if (stems.length > 1 && !deliver.nameTemplate.includes('{stem}')) {
      faults.add('RECIPE_STEM_NAME', 'every stem would have this one name', template.at, {
        expected: 'a name with {stem}',
        mend: 'write {stem} where the name of the blend or source belongs',
      })
      return
    }
  }
  const sources = sourcesByIdentity(groups, context)
  const names = new Map<string, Stem>()
  for (const stem of stems) {
    const earlier = names.get(stem.fileName)
    if (stem.fileName === '.wav') {
      faults.add('RECIPE_STEM_NAME', `nothing is left of the name of ${stem.shown}`, stem.at, {
        expected: 'a name with letters or digits',
        mend: 'choose another name',
      })
    } else if (Buffer.byteLength(stem.fileName) > MAX_NAME_BYTES) {
      faults.add('RECIPE_STEM_NAME', `the file name of ${stem.shown} is too long`, stem.at, {
        expected: `at most ${MAX_NAME_BYTES} bytes`,
        mend: 'choose a shorter name, or a shorter deliver: name',
      })
    } else if (earlier !== undefined) {
      faults.add(
        'RECIPE_STEM_NAME',
        `${stem.shown} and ${earlier.shown} would both be ${stem.fileName}`,
        stem.at,
        {
          expected: 'a file name of its own for each stem',
          mend: 'rename one of the two, or put {group} into deliver: name',
        },
      )
    } else {
      names.set(stem.fileName, stem)
      const identity = tree.files.identityOf(join(deliver.folder, stem.fileName))
      const source = identity === null ? undefined : sources.get(identity)
      if (source === undefined) continue
      faults.add('RECIPE_TARGET_IS_SOURCE', `${stem.shown} would be written over ${source}`, stem.at, {
        expected: 'a delivery folder without sources of this name',
        mend: 'choose another deliver: folder; a source is never written to',
      })
    }
  }
}

const stemsOfGroup = (group: GroupDraft, deliver: Deliver, context: MeaningContext): readonly Stem[] => {
  const fileName = (stem: string): string =>
    stemFileName(deliver.nameTemplate, {
      song: context.song.text,
      take: context.take?.text ?? null,
      group: group.name,
      stem,
    })
  const blends = entriesOf(fieldOf(group.node, 'blends')).map(([name, { keyAt }]) => ({
    shown: `the blend ${name}`,
    at: keyAt,
    fileName: fileName(name),
  }))
  const { stems } = deliver
  const singles = [...group.sources.values()]
    .filter(source => source.kind === 'file')
    .filter(
      source =>
        stems === 'all' ||
        (stems !== 'none' && stems.some(stem => stem.group === group.name && stem.source === source.name)),
    )
    .map(source => ({
      shown: `the source ${group.name}/${source.name}`,
      at: source.keyAt,
      fileName: fileName(singleStem(group.name, source.name)),
    }))
  return [...blends, ...singles]
}

const sourcesByIdentity = (
  groups: ReadonlyMap<string, GroupDraft>,
  context: MeaningContext,
): ReadonlyMap<string, string> => {
  const found = new Map<string, string>()
  for (const group of groups.values()) {
    for (const source of group.sources.values()) {
      if (source.kind !== 'file') continue
      const pieces = source.pieces?.nodes.map(({ file }) => file) ?? []
      for (const file of [source.file, ...pieces, slateFound(source, context)])
        if (file !== null && file.identity !== null) found.set(file.identity, file.shown)
    }
  }
  return found
}
