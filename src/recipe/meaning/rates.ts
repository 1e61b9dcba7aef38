import type { MeaningContext } from './context.js'
import type { FileDraft, GroupDraft, SourceDraft } from './draft.js'

type Groups = ReadonlyMap<string, GroupDraft>

/** The group's reference, followed through groups that are sources, down to a file; null where that leads nowhere. */
export const referenceFile = (group: GroupDraft, groups: Groups): FileDraft | null => {
  let current: GroupDraft | undefined = group
  for (let steps = 0; current !== undefined && steps <= groups.size; steps++) {
    const source: SourceDraft | undefined = current.sources.get(current.reference ?? '')
    if (source === undefined) return null
    if (source.kind === 'file') return source
    current = groups.get(source.group)
  }
  return null
}

/** Sample rate of each group: its reference's, else that of the first file that has one. Null where no file could be read. */
export const groupRates = (groups: Groups): ReadonlyMap<string, number | null> => {
  const rates = new Map<string, number | null>()
  for (const group of groups.values()) {
    const first = [...group.sources.values()].find(
      source => source.kind === 'file' && source.file.facts !== null,
    )
    const facts =
      referenceFile(group, groups)?.file.facts ?? (first?.kind === 'file' ? first.file.facts : null)
    rates.set(group.name, facts?.sampleRateHz ?? null)
  }
  return rates
}

/** Reports sources whose rate is not their group's. */
export const checkRates = (
  groups: Groups,
  rates: ReadonlyMap<string, number | null>,
  { faults }: MeaningContext,
): void => {
  for (const group of groups.values()) {
    const rate = rates.get(group.name) ?? null
    for (const source of group.sources.values()) {
      const own =
        source.kind === 'file' ? (source.file.facts?.sampleRateHz ?? null) : (rates.get(source.group) ?? null)
      if (own === null || rate === null || own === rate) continue
      faults.add(
        'RECIPE_RATE_MISMATCH',
        `${source.name} has ${own} Hz, its group ${group.name} ${rate} Hz`,
        source.at,
        {
          expected: `${rate} Hz, as the reference${group.reference === undefined ? '' : ` ${group.reference}`}`,
          mend: 'convert the file with a resampler first; where only the rate in its header is wrong, correct the header',
        },
      )
    }
  }
}
