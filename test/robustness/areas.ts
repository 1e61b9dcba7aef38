import { documents } from './areas/documents.js'
import { paths } from './areas/paths.js'
import { recipes } from './areas/recipes.js'
import { recordings } from './areas/recordings.js'
import { running } from './areas/running.js'
import { sound } from './areas/sound.js'
import type { RobustArea } from './case.js'

/** All cases, in the order of the page. */
export const AREAS: readonly RobustArea[] = [recipes, recordings, paths, documents, running, sound]
