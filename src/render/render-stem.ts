import { fastLoudness } from '../signal/fast-loudness.js'
import { PeakMeter } from '../signal/level.js'
import { TruePeakMeter } from '../signal/true-peak.js'
import type { TaskContext } from '../terms/task.js'
import { dbFromGain } from '../terms/units.js'
import { createWave } from '../wave/wave-writer.js'
import { forEachBlock } from './blocks.js'
import { type OpensPart, sharedParts } from './shared-parts.js'
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
 * Makes stems of one length side by side, in one pass and flat in memory: a source that comes into several of them alike is read and moved
 * once. When it fails or is interrupted nothing is left of any of them. Results in the order of the stems.
 * @throws SumwellError WAVE_…, WRITE_…, INTERRUPTED
 */
export const renderStems = (inputs: readonly RenderInput[], context: TaskContext): readonly WrittenStem[] => {
  const making: StemInMaking[] = []
  const open = sharedParts(inputs.map(({ stem }) => stem))
  try {
    for (const input of inputs) making.push(stemInMaking(input, open))
    forEachBlock(
      inputs.map(({ stem }) => stem),
      context,
      (stem, block, frame) => {
        making[stem]!.add(block, frame)
      },
    )
    return making.map(one => one.finish())
  } finally {
    for (const one of making) one.leave()
  }
}

interface StemInMaking {
  /** Fills the block and writes it. */
  add(block: readonly Float64Array[], frame: number): void
  finish(): WrittenStem
  /** Lets go of all files; what is not finished is gone. */
  leave(): void
}

const stemInMaking = ({ stem, sources, words, file }: RenderInput, open: OpensPart): StemInMaking => {
  const mix = openMix(stem, sources, open)
  try {
    const carried = carriedPart(stem, sources, mix)
    const channelMask = channelMaskOf(stem, mix)
    const writer = createWave({
      folderStands: true,
      path: file,
      sampleRateHz: stem.sampleRateHz,
      channels: stem.channels,
      frames: stem.frames,
      depth: stem.depth,
      ...(channelMask === undefined ? {} : { channelMask }),
      metadata: stemWords(stem, words, carried),
      loudnessFollows: true,
    })
    const meters = metersOf(stem)
    const round = toWord(stem, mix)
    return {
      add: (block, frame) => {
        mix.read(frame, block)
        round(block, frame)
        meters.push(block)
        writer.write(block, block[0]!.length)
      },
      finish: () => {
        mix.refuseChanged()
        const levels = meters.read()
        const { bytes, sha256 } = writer.commit(meters.loudness())
        return { bytes, sha256, ...levels, fades: fadesOf(mix) }
      },
      leave: () => {
        writer.discard()
        mix.close()
      },
    }
  } catch (error) {
    mix.close()
    throw error
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
