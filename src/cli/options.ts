import type { Shard } from '../jobs/album/shard.js'

/** Options as the command line leaves them: a switch that was not given is not there. All commands on recipes share them. */
export interface GivenOptions {
  readonly json?: true
  readonly quiet?: true
  readonly jobs?: number
  readonly strict?: true
  readonly allowOutside?: true
  /** Of `render` only. */
  readonly dryRun?: true
  /** Fills {take}. */
  readonly take?: string
  /** Of `render` only, and so to the next empty line. `--remeasure` with a group, several times or none. */
  readonly remeasure?: true | readonly string[]
  readonly locked?: true
  readonly force?: true
  readonly verifySources?: true

  /** Of `render` only; false with `--no-audio`. */
  readonly audio?: boolean
  /** Of `render` only. */
  readonly prune?: true
  /** Of `render` only. */
  readonly archive?: true
  /** Of `render` only. */
  readonly watch?: true
  /** Of `render` only: a folder; false with `--no-album`. */
  readonly album?: string | boolean
  /** Of `render` only. */
  readonly shard?: Shard
  /** Of `render` and `verify` only. */
  readonly lags?: true
  /** False with `--no-color`. */
  readonly color: boolean
}

export interface Options {
  /** One JSON document on stdout and nothing else there. */
  readonly json: boolean
  /** Only what went wrong is told. */
  readonly quiet: boolean
  /** Threads at most; null = as many as there are cores. */
  readonly jobs: number | null
  /** What is not sure is an error. */
  readonly strict: boolean
  /** Recordings and targets may lie outside the recipe's folder tree. */
  readonly allowOutside: boolean
  /** Print the plan and write nothing. */
  readonly dryRun: boolean
  /** The report page holds sound to listen to. */
  readonly audio: boolean
  /** Stems of earlier renders that the recipe no longer makes are removed. */
  readonly prune: boolean
  /** The folder of delivery is packed into one file beside it. */
  readonly archive: boolean
  /** Render again whatever changes. */
  readonly watch: boolean
  /** Where the summary of several songs goes; `usual` = the folder that holds their recipes, and only where they are several. */
  readonly album: { readonly folder: string } | 'usual' | 'none'
  /** The part of the songs that is done; null = all. */
  readonly shard: Shard | null
  /** The stems are measured again. */
  readonly lags: boolean
  readonly color: boolean
  /** Used instead of the recipe's take. */
  readonly take: string | null
  /** Groups that are decided anew, whatever their lock says. */
  readonly remeasure: 'nothing' | 'everything' | readonly string[]
  /** What differs from the lock is an error, and nothing is changed. */
  readonly locked: boolean
  /** Nothing is taken from earlier runs. */
  readonly force: boolean
  /** Every recording is read, whatever its size and time say. */
  readonly verifySources: boolean
}

/** Every option with its value: the default where none was given. `jobs` null = one thread per core. */
export const optionsOf = (given: GivenOptions): Options => ({
  json: given.json ?? false,
  quiet: given.quiet ?? false,
  jobs: given.jobs ?? null,
  strict: given.strict ?? false,
  allowOutside: given.allowOutside ?? false,
  dryRun: given.dryRun ?? false,
  audio: given.audio ?? true,
  prune: given.prune ?? false,
  archive: given.archive ?? false,
  album: typeof given.album === 'string' ? { folder: given.album } : given.album === false ? 'none' : 'usual',
  shard: given.shard ?? null,
  watch: given.watch ?? false,
  lags: given.lags ?? false,
  color: given.color,
  take: given.take ?? null,
  remeasure: given.remeasure === true ? 'everything' : (given.remeasure ?? 'nothing'),
  locked: given.locked ?? false,
  force: given.force ?? false,
  verifySources: given.verifySources ?? false,
})
