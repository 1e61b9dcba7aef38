import { dbFromPower, gainFromDb } from '../../terms/units.js'
import type { BlendTone } from '../../tone/tone.js'
import type { BlendSound } from '../lock.js'

/** Figures that are for comparing only are kept to this many places, so that a lock stays readable. */
const PLACES = 3

const short = (value: number): number => Number(value.toFixed(PLACES)) + 0

/** How a blend came out, in few numbers: third octaves as measured on the written stem are gathered into the wide bands of the words. */
export const blendSound = (tone: BlendTone, loudnessLufs: number | null): BlendSound => ({
  loudnessLufs: loudnessLufs === null ? null : short(loudnessLufs),
  evennessDb: tone.evennessAfterDb === null ? null : short(tone.evennessAfterDb),
  firstNotchHz: tone.firstNotchAfterHz === null ? null : short(tone.firstNotchAfterHz),
  bandsDb: Object.fromEntries(
    tone.bands.flatMap(({ name, fromHz, toHz }) => {
      const power = (tone.check?.thirdOctaves ?? [])
        .filter(({ centreHz }) => centreHz >= fromHz && centreHz < toHz)
        .reduce((sum, { measuredDb }) => sum + (measuredDb === null ? 0 : gainFromDb(measuredDb) ** 2), 0)
      return power > 0 ? [[name, short(dbFromPower(power))] as const] : []
    }),
  ),
})
