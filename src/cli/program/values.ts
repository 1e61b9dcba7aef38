import { InvalidArgumentError, Option } from 'commander'
import type { Shard } from '../../jobs/album/shard.js'

const MOST_JOBS = 256

/** `--jobs`: a number of threads. */
export const jobsOf = (text: string): number => {
  const jobs = Number(text)
  if (/^\d+$/.test(text) && jobs >= 1 && jobs <= MOST_JOBS) return jobs
  throw new InvalidArgumentError(`It takes a whole number from 1 to ${MOST_JOBS}.`)
}

const MOST_SHARDS = 100_000

/** `--shard 2/8`. */
export const shardOf = (text: string): Shard => {
  const [, number = 0, of = 0] = (/^(\d+)\/(\d+)$/.exec(text) ?? []).map(Number)
  if (number >= 1 && number <= of && of <= MOST_SHARDS) return { number, of }
  throw new InvalidArgumentError('It takes a part and the number of parts, such as 2/8.')
}

/** A file name without a folder. */
export const fileName = (text: string): string => {
  if (/^[^/\\\p{Cc}]+$/u.test(text) && !/^\.\.?$/.test(text)) return text
  throw new InvalidArgumentError('It takes a file name without a folder.')
}

/** `--remeasure [group]`, several times. */
export const groupsOf = (text: string, before: unknown): readonly string[] => [
  ...(Array.isArray(before) ? (before as readonly string[]) : []),
  text,
]

/** `--take`: a number or a name. */
export const takeOf = (text: string): string => {
  if (text.trim() !== '') return text
  throw new InvalidArgumentError('It takes a number or a name.')
}

/** An option that takes one of a few values; they stand in the help and are completed. */
export const oneOf = <Value extends string | number>(
  flags: string,
  description: string,
  allowed: readonly Value[],
  usual: Value,
): Option =>
  new Option(flags, description)
    .choices(allowed.map(String))
    .default(usual)
    .argParser((text: string): Value => {
      const found = allowed.find(value => String(value) === text)
      if (found !== undefined) return found
      throw new InvalidArgumentError(`It takes one of ${allowed.join(', ')}.`)
    })
