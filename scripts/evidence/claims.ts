import type { Claim } from './claim.js'
import { again } from './claims/again.js'
import { files } from './claims/files.js'
import { lag } from './claims/lag.js'
import { moves } from './claims/moves.js'
import { network } from './claims/network.js'
import { tone } from './claims/tone.js'
import { unharmed } from './claims/unharmed.js'
import { verdict } from './claims/verdict.js'

/** In the order of the page. */
export const claims: readonly Claim[] = [lag, verdict, moves, tone, files, again, unharmed, network]
