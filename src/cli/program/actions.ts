import type { Command } from 'commander'
import type { CacheOptions } from '../commands/cache.js'
import type { ExploreOptions } from '../commands/explore.js'
import type { InitCommandOptions } from '../commands/init.js'
import type { ReportOptions } from '../commands/report.js'
import type { SlateOptions } from '../commands/slate.js'
import type { GivenOptions } from '../options.js'
import type { Shell } from '../shells.js'

/** What the commands do. Each loads what it needs when it is called: `--help` loads nothing. */
export interface Actions {
  readonly init: (folder: string, options: InitCommandOptions) => Promise<void>
  readonly check: OnRecipes
  readonly measure: OnRecipes
  readonly render: OnRecipes
  readonly compare: (before: string, now: string, options: GivenOptions) => Promise<void>
  readonly explore: (recipe: string, group: string, options: ExploreOptions) => Promise<void>
  readonly report: (folders: readonly string[], options: ReportOptions) => Promise<void>
  readonly merge: (folder: string, options: GivenOptions) => Promise<void>
  readonly verify: (folders: readonly string[], options: GivenOptions) => Promise<void>
  readonly slate: (file: string, options: SlateOptions) => Promise<void>
  readonly completion: (shell: Shell, program: Command) => Promise<void>
  readonly cache: (options: CacheOptions) => Promise<void>
  readonly selfcheck: (folder: string, options: GivenOptions) => Promise<void>
}

/** A command on one recipe or several. */
export type OnRecipes = (recipes: readonly string[], options: GivenOptions) => Promise<void>
