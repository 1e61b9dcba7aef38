import type { Target } from './target.js'
import { albumTarget } from './targets/album.js'
import { cacheTarget } from './targets/cache.js'
import { lockTarget } from './targets/lock.js'
import { recipeTarget } from './targets/recipe.js'
import { reportTarget } from './targets/report.js'
import { sumsTarget } from './targets/sums.js'
import { waveTarget } from './targets/wave.js'

/** Everything that reads what others wrote. */
export const TARGETS: Readonly<Record<string, () => Target | Promise<Target>>> = {
  wave: waveTarget,
  recipe: recipeTarget,
  lock: lockTarget,
  report: reportTarget,
  album: albumTarget,
  cache: cacheTarget,
  sums: sumsTarget,
}
