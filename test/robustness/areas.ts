import { recipes } from './areas/recipes.js'
import type { RobustArea } from './case.js'

/** All cases, in the order of the page. */
export const AREAS: readonly RobustArea[] = [recipes]
