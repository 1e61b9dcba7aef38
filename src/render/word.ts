import { integerBits } from '../decide/depth.js'
import type { PlannedStem } from '../decide/plan.js'
import { roundToGrid, TpdfQuantiser } from '../signal/dither.js'
import type { StemMix } from './stem-mix.js'

/** Brings one block after the other, in order, to the word of the stem, in place. `stemFrame` is the block's first frame. */
export type ToWord = (block: readonly Float64Array[], stemFrame: number) => void

/**
 * Where arithmetic is followed by a shorter word: TPDF dither. Elsewhere the values are whole steps already, and rounding changes
 * nothing but the inverse of the most negative value, which becomes the most positive. A fade in a stem that is exact otherwise is
 * arithmetic: it is dithered, and only it. Floats are left alone.
 */
export const toWord = (stem: PlannedStem, mix: StemMix): ToWord => {
  const bits = integerBits(stem.depth)
  if (bits === null) return () => undefined
  const dither = new TpdfQuantiser(bits, stem.channels, stem.ditherSeed)
  if (stem.dither) {
    return block => {
      dither.quantise(block)
    }
  }
  const stretches = merged(mix.parts.flatMap(part => part.fadedFrames))
  return (block, stemFrame) => {
    const frames = block[0]?.length ?? 0
    for (const { start, end } of stretches) {
      const from = Math.max(0, start - stemFrame)
      const to = Math.min(frames, end - stemFrame)
      if (from < to) dither.quantise(block.map(samples => samples.subarray(from, to)))
    }
    roundToGrid(block, bits)
  }
}

type Stretch = StemMix['parts'][number]['fadedFrames'][number]

const merged = (stretches: readonly Stretch[]): readonly Stretch[] => {
  const result: Stretch[] = []
  for (const stretch of [...stretches].sort((a, b) => a.start - b.start)) {
    const last = result.at(-1)
    if (last !== undefined && stretch.start <= last.end) {
      result[result.length - 1] = { start: last.start, end: Math.max(last.end, stretch.end) }
    } else result.push(stretch)
  }
  return result
}
