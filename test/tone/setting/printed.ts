import type { PlannedSource, PlannedStem } from '../../../src/decide/plan.js'
import type { RenderedStem } from '../../../src/render/rendered.js'
import { roundToGrid, TpdfQuantiser } from '../../../src/signal/dither.js'
import { applyDelay, designDelay } from '../../../src/signal/fractional-delay.js'
import { openSource } from '../../../src/wave/source-reader.js'
import { writeWave } from './plans.js'

/** One channel of a source laid on the timeline at a fractional place, whole file at once. */
const laid = (sound: Float64Array, at: number, frames: number, rate: number): Float64Array => {
  const whole = Math.floor(at)
  const kernel = designDelay(at - whole, rate)
  const input = new Float64Array(frames + 2 * kernel.halfLength)
  for (let n = 0; n < input.length; n++) input[n] = sound[n - kernel.halfLength - whole] ?? 0
  const output = new Float64Array(frames)
  applyDelay(kernel, input, output)
  return output
}

/** Prints a planned stem the plain way, in memory, without the render room: gain x source at its place, summed. */
export const printStem = (stem: PlannedStem, sources: readonly PlannedSource[]): RenderedStem => {
  const channels = Array.from({ length: stem.channels }, () => new Float64Array(stem.frames))
  for (const part of stem.parts) {
    const source = sources.find(({ key }) => key === part.key)!
    const reader = openSource(source.file, source.selection)
    const sound = Array.from({ length: source.channels }, () => new Float64Array(source.facts.frames))
    reader.read(0, sound)
    reader.close()
    const moved = sound.map(channel => laid(channel, part.atSamples, stem.frames, stem.sampleRateHz))
    channels.forEach((channel, c) => {
      const from = moved[source.channels === 1 ? 0 : c]!
      for (let n = 0; n < channel.length; n++) channel[n] = channel[n]! + part.gain * from[n]!
    })
  }
  if (stem.depth !== '32f') {
    if (stem.dither) new TpdfQuantiser(stem.depth, stem.channels, stem.ditherSeed).quantise(channels)
    else roundToGrid(channels, stem.depth)
  }
  writeWave(stem.file, channels, stem.sampleRateHz, stem.depth)
  return {
    name: stem.name,
    file: stem.file,
    bytes: 0,
    sha256: '',
    samplePeakDbfs: null,
    truePeakDbtp: null,
    loudnessLufs: null,
    cuts: [],
    fades: [],
  }
}
