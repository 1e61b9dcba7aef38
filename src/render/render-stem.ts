import { fastLoudness } from '../signal/fast-loudness.js'
import { PeakMeter } from '../signal/level.js'
import { TruePeakMeter } from '../signal/true-peak.js'
import type { TaskContext } from '../terms/task.js'
import { dbFromGain } from '../terms/units.js'
import { createWave } from '../wave/wave-writer.js'
import { forEachBlock } from './blocks.js'
import { openMix, type StemMix } from './stem-mix.js'
import { carriedPart, channelMaskOf, type SongWords, stemWords } from './stem-words.js'
import type { StemInput } from './survey-stem.js'
import { toWord } from './word.js'

export interface RenderInput extends StemInput {
  readonly words: SongWords
  /** Where the file is written; it goes to its place when all stems are whole. */
  readonly file: string
}

/** What was written, by meters on the very samples. Levels are null for digital silence or where the standard gives none. */
export interface WrittenStem {
  readonly bytes: number
  readonly sha256: string
  readonly samplePeakDbfs: number | null
  readonly truePeakDbtp: number | null
  readonly loudnessLufs: number | null
  readonly fades: readonly { readonly key: string; readonly edge: 'start' | 'end' }[]
}

/**
 * Makes one stem, in one pass and flat in memory. When it fails or is interrupted nothing is left of it.
 * @throws SumwellError WAVE_…, WRITE_…, INTERRUPTED
 */
export const renderStem = (input: RenderInput, context: TaskContext): WrittenStem => {
  const { stem, sources, words, file } = input
  const mix = openMix(stem, sources)
  try {
    const carried = carriedPart(stem, sources, mix)
    const channelMask = channelMaskOf(stem, mix)
    const writer = createWave({
      path: file,
      sampleRateHz: stem.sampleRateHz,
      channels: stem.channels,
      frames: stem.frames,
      depth: stem.depth,
      ...(channelMask === undefined ? {} : { channelMask }),
      metadata: stemWords(stem, words, carried),
      loudnessFollows: true,
    })
    try {
      const meters = metersOf(stem)
      const round = toWord(stem, mix)
      forEachBlock(stem, context, (block, frame) => {
        mix.read(frame, block)
        round(block, frame)
        meters.push(block)
        writer.write(block, block[0]!.length)
      })
      mix.refuseChanged()
      const levels = meters.read()
      const { bytes, sha256 } = writer.commit(meters.loudness())
      return { bytes, sha256, ...levels, fades: fadesOf(mix) }
    } finally {
      writer.discard()
    }
  } finally {
    mix.close()
  }
}

const metersOf = ({ sampleRateHz, channels }: RenderInput['stem']) => {
  const peak = new PeakMeter()
  const truePeak = new TruePeakMeter(sampleRateHz, channels)
  const loudness = fastLoudness(sampleRateHz, channels)
  return {
    push: (block: readonly Float64Array[]): void => {
      peak.push(block)
      truePeak.push(block)
      loudness.push(block)
    },
    loudness: () => ({
      integratedLufs: loudness.integratedLufs(),
      rangeLu: loudness.rangeLu(),
      truePeakDbtp: levelOrNull(truePeak.peak()),
      momentaryLufs: loudness.momentaryLufs(),
      shortTermLufs: loudness.shortTermLufs(),
    }),
    read: () => ({
      samplePeakDbfs: levelOrNull(peak.peak()),
      truePeakDbtp: levelOrNull(truePeak.peak()),
      loudnessLufs: loudness.integratedLufs(),
    }),
  }
}

const levelOrNull = (amplitude: number): number | null => (amplitude === 0 ? null : dbFromGain(amplitude))

const fadesOf = (mix: StemMix): WrittenStem['fades'] =>
  mix.parts.flatMap(({ part: { key }, fades }) => [
    ...(fades?.fadesIn === true ? [{ key, edge: 'start' as const }] : []),
    ...(fades?.fadesOut === true ? [{ key, edge: 'end' as const }] : []),
  ])
