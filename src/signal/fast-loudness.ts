import { addressOf, float64 } from './kernel/arena.js'
import { kernels } from './kernel/kernels.js'
import { LoudnessMeter, type LoudnessTools } from './loudness.js'
import { kWeighPlain } from './plain/loudness.js'

/** The kernel takes no fewer frames. */
const LEAST_FRAMES = 4

const tools: LoudnessTools = {
  numbers: float64,
  weigh: (samples, start, end, sections, memory) => {
    const at = addressOf(samples)
    const sectionsAt = addressOf(sections)
    const memoryAt = addressOf(memory)
    const inside = at >= 0 && sectionsAt >= 0 && memoryAt >= 0
    const run = inside && end - start >= LEAST_FRAMES ? kernels()?.run : undefined
    if (run === undefined) kWeighPlain(samples, start, end, sections, memory)
    else run.kWeigh(at + 8 * start, end - start, sectionsAt, memoryAt)
  },
}

/** A `LoudnessMeter` that runs on the kernels where it can; every channel counts once. */
export const fastLoudness = (sampleRateHz: number, channels: number): LoudnessMeter =>
  new LoudnessMeter(sampleRateHz, channels, undefined, tools)
