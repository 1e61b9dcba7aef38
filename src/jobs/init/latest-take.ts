/** The files of one take out of a folder that may hold several. */
export interface LatestTake<File> {
  /** As it is written in the paths: `4`, `04`; null where no path names a take. */
  readonly take: string | null
  /** Earlier takes, in order. */
  readonly earlier: readonly string[]
  /** The files of the take, and those that name none, each with its path as a recipe writes it: `{take}` for the take. */
  readonly files: readonly (File & { readonly written: string })[]
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
  return {
    take,
    earlier: takes.slice(0, -1),
    files: files
      .filter(({ shown }) => {
        const named = TAKE.exec(shown)?.[3]
        return named === undefined || named === take
      })
      .map(file => ({ ...file, written: file.shown.replace(TAKE, '$1$2{take}') })),
  }
}
