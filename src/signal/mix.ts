import { addressOf } from './kernel/arena.js'
import { kernels } from './kernel/kernels.js'

/** Multiplies in place. Zeros come out as +0, so that their sign does not depend on where a block begins. */
export const scale = (samples: Float64Array, gain: number): void => {
  const at = addressOf(samples)
  const run = at < 0 ? undefined : kernels()?.run
  if (run !== undefined) run.scale(at, samples.length, gain)
  else for (let i = 0; i < samples.length; i++) samples[i] = samples[i]! * gain + 0
}

/** `total[i] += gain * samples[i]` over the whole of `total`. */
export const addScaled = (total: Float64Array, samples: Float64Array, gain: number): void => {
  const at = addressOf(total)
  const from = addressOf(samples)
  const run = at < 0 || from < 0 ? undefined : kernels()?.run
  if (run !== undefined) run.addScaled(at, from, total.length, gain)
  else for (let i = 0; i < total.length; i++) total[i] = total[i]! + gain * samples[i]!
}
