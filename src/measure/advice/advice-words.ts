import type { ToneAtLag } from '../measurement.js'

export type AdviceFacts =
  | { readonly kind: 'slate' }
  | {
      /** `move`: two microphones that could be set alike; `keep`: the lag belongs to the paths. */
      readonly kind: 'move' | 'keep'
      readonly reference: string
      /** How much later than the reference, metres of air. */
      readonly lateMetres: number
      readonly distanceMetres: number | null
      readonly inverted: boolean
      /** From lined up, so far either way until 1 dB is lost at this frequency. */
      readonly tolerance: {
        readonly metres: number
        readonly celsius: number | null
        readonly hz: number
      } | null
      readonly tones: readonly ToneAtLag[]
    }

/** A tone that loses more than this as recorded is worth a word. */
const TOLD_LOSS_DB = 3
/** Nobody sets a stand better than to this. */
const HAND_METRES = 0.003

/** One line that a person can act on before the next take. */
export const adviceText = (facts: AdviceFacts): string => {
  if (facts.kind === 'slate')
    return 'play a slate once through all paths (sumwell slate) and let the recipe find it (align: slate: true)'
  const { inverted, tolerance } = facts
  const parts = [
    ...(inverted ? ['turn its polarity over at the preamp'] : []),
    ...(facts.kind === 'move' ? [moveWords(facts)] : toneWords(facts)),
    ...(tolerance === null
      ? []
      : [
          `from take to take keep the stands within ${length(tolerance.metres)}${roomWords(tolerance.celsius)} (1 dB at ${hertz(tolerance.hz)})`,
        ]),
  ]
  return parts.length === 0 ? 'nothing to change' : parts.join('; ')
}

type Told = Exclude<AdviceFacts, { kind: 'slate' }>

const moveWords = ({ reference, lateMetres, distanceMetres, tolerance }: Told): string => {
  const off = Math.abs(lateMetres)
  if (off <= Math.max(HAND_METRES, tolerance?.metres ?? 0))
    return `it arrives with ${reference}: leave both where they are`
  if (lateMetres < 0) return `move it ${length(off)} back and it arrives with ${reference}`
  // Too near for that already: the other one has to give way.
  const room = distanceMetres === null || distanceMetres > off + HAND_METRES
  return room
    ? `move it ${length(off)} closer, or ${reference} back by that, and they arrive together`
    : `move ${reference} ${length(off)} back and they arrive together`
}

const toneWords = ({ tones, lateMetres }: Told): string[] => {
  const worst = [...tones].sort((a, b) => b.lossDb - a.lossDb)[0]
  if (worst === undefined || worst.lossDb < TOLD_LOSS_DB) return []
  const halves = Math.round(worst.halfWavelengths)
  if (halves === 0)
    return [
      `${length(Math.abs(lateMetres))} are little beside the wavelength of ${worst.note} (${hertz(worst.frequencyHz)}), which suffers most unless turned over`,
    ]
  const waves =
    halves === 1 ? 'half a wavelength' : halves === 2 ? 'one wavelength' : `${halves / 2} wavelengths`
  return [
    `${length(Math.abs(lateMetres))} are about ${waves} of ${worst.note} (${hertz(worst.frequencyHz)}), which suffers most unless lined up`,
  ]
}

const roomWords = (celsius: number | null): string =>
  celsius === null ? '' : ` and the room within ${celsius.toFixed(celsius < 3 ? 1 : 0)} °C`

const length = (metres: number): string =>
  metres >= 1 ? `${metres.toFixed(2)} m` : `${(100 * metres).toFixed(metres < 0.1 ? 1 : 0)} cm`

const hertz = (frequency: number): string =>
  frequency >= 1000 ? `${(frequency / 1000).toFixed(1)} kHz` : `${frequency.toFixed(0)} Hz`
