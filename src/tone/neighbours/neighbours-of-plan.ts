import type { Plan } from '../../decide/plan.js'
import type { RenderedStem } from '../../render/rendered.js'
import type { Pooled } from '../../terms/task.js'
import type { toneTasks } from '../tasks.js'
import { neighbourInputs } from './neighbour-input.js'
import type { Neighbours } from './neighbours.js'
import { neighboursOf } from './neighbours-of.js'
import { voicesOf } from './voices.js'

/**
 * What the groups of a written song do to each other; null where there are not two to compare. Reads every recording and every stem in it once.
 * @throws SumwellError from reading; INTERRUPTED
 */
export const neighboursOfPlan = async (
  plan: Plan,
  rendered: readonly RenderedStem[] | Promise<readonly RenderedStem[]>,
  tasks: Pooled<typeof toneTasks>,
  beatsInBar: number,
): Promise<Neighbours | null> => {
  const found = voicesOf(plan)
  const { voices } = found
  if (voices.length === 0) return null
  await rendered
  const inputs = neighbourInputs(plan, voices, stem => stem.file)
  const blocks = await Promise.all(inputs.map(input => tasks.neighbourSums(input)))
  const { sampleRateHz, frames } = inputs[0]!
  const barSeconds = plan.tempoBpm === null ? null : (beatsInBar * 60) / plan.tempoBpm
  return neighboursOf(found, blocks.flat(), { sampleRateHz, frames, barSeconds })
}
