import type { Warning } from '../terms/warning.js'
import type { BlendTone } from './tone.js'

/** Design §9: prediction and measurement agree within this in every band that is judged. */
export const AGREED_DB = 0.1

/** Blends whose written stem does not measure as predicted: the stem is not what the plan says, or this room is wrong. */
export const toneWarnings = (tones: readonly BlendTone[]): readonly Warning[] =>
  tones.flatMap(({ blend, group, check }): readonly Warning[] => {
    const judged = check?.thirdOctaves.filter(band => band.judged) ?? []
    const [worst] = [...judged].sort((a, b) => Math.abs(b.differenceDb ?? 0) - Math.abs(a.differenceDb ?? 0))
    const difference = worst?.differenceDb ?? 0
    if (worst === undefined || Math.abs(difference) <= AGREED_DB) return []
    const more = difference > 0 ? 'more' : 'less'
    return [
      {
        code: 'PREDICTION_DIFFERS',
        group,
        source: null,
        message:
          `blend ${blend} has ${Math.abs(difference).toFixed(2)} dB ${more} at ${Math.round(worst.centreHz)} Hz than was predicted from its ` +
          'sources: listen to it against them, and render again; if it stays so, please report it',
      },
    ]
  })
