import { lookAtStem } from './look-at-stem.js'
import { nullTest } from './null-test.js'

/** The work of this room that may run in other threads. */
export const verifyTasks = { lookAtStem, nullTest }
