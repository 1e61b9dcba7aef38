import { dirname } from 'node:path'

/** The files of one take out of a folder that may hold several. */
export interface LatestTake<File> {
  /** As it is written in the paths: `4`, `04`; null where no path names a take. */
  readonly take: string | null
  /** Earlier takes, in order. */
  readonly earlier: readonly string[]
  /** The files of the take, and those that name none, each with its path as a recipe writes it: `{take}` for the take. */
  readonly files: readonly (File & { readonly written: string })[]
  /** Files of an earlier take in whose folder nothing is of the latest one: they may be another song's, or were played once. */
  readonly missed: readonly File[]
}

const TAKE = /(take|tk)([-_ ]?)(\d{1,4}[a-z]?)(?![\p{L}\p{N}])/iu

/** Where the paths name takes, only the latest is looked at: a re-take is the same recipe with another number. */
export const latestTake = <File extends { readonly shown: string }>(
  files: readonly File[],
): LatestTake<File> => {
  const takes = [...new Set(files.flatMap(({ shown }) => TAKE.exec(shown)?.[3] ?? []))].sort(
    (a, b) => Number.parseInt(a, 10) - Number.parseInt(b, 10) || a.localeCompare(b),
  )
  const take = takes.at(-1) ?? null
  const isOfTake = ({ shown }: File): boolean => {
    const named = TAKE.exec(shown)?.[3]
    return named === undefined || named === take
  }
  const seen = files.filter(isOfTake)
  const places = new Set(seen.map(({ shown }) => placeOf(shown)))
  return {
    take,
    earlier: takes.slice(0, -1),
    files: seen.map(file => ({ ...file, written: file.shown.replace(TAKE, '$1$2{take}') })),
    missed: files.filter(file => !isOfTake(file) && !places.has(placeOf(file.shown))),
  }
}

/** The folder in which all takes of a file lie: that of the file, or the one that holds the folders named after takes. */
const placeOf = (shown: string): string => {
  const found = TAKE.exec(shown)
  return dirname(found === null ? shown : `${shown.slice(0, found.index)}x`)
}
