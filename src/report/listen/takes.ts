import { motionOf } from '../../render/part-motion.js'
import type { DeskBlend, DeskLeaf } from '../desk/desk.js'
import { AT_REST, type Fader, type SetLeaf, setLeaves } from '../desk/faders.js'
import type { Listen } from './listen.js'

/** The samples of one embedded recording. */
export interface Sound {
  /** Frame of the recording at which they begin. */
  readonly startFrame: number
  readonly channels: readonly Float64Array[]
}

/** One recording, moved as a stem moves it, with its gain. */
interface Placed {
  readonly leaf: DeskLeaf
  readonly gain: number
  readonly atSamples: number
  readonly laterSamples: number
  readonly follow: DeskLeaf['follow']
}

const asMotion = ({ leaf, atSamples, laterSamples, follow }: Placed) => ({
  recordedAtSamples: leaf.recordedAtSamples,
  atSamples: atSamples + laterSamples,
  follow: follow?.map(knot => ({ ...knot, shiftSamples: knot.shiftSamples + laterSamples })) ?? null,
})

/** A stretch of a recording, zeros outside what is held. */
export const stretchOf = (
  samples: Float64Array,
  startFrame: number,
  from: number,
  length: number,
): Float64Array => {
  const stretch = new Float64Array(length)
  const first = Math.max(0, startFrame - from)
  const source = Math.max(0, from - startFrame)
  stretch.set(
    samples.subarray(source, Math.max(source, source + length - first)).subarray(0, length - first),
    first,
  )
  return stretch
}

/** Makes blends from recordings: the same moves, filters and order of additions as the stems. */
export class TakeMaker {
  readonly #listen: Pick<Listen, 'startFrame' | 'frames'>
  readonly #soundOf: (source: string) => Sound
  readonly #rate: number
  /** Recordings as they were last moved under the faders: most moves touch one of several. */
  readonly #moved = new Map<string, { readonly place: string; readonly channels: readonly Float64Array[] }>()

  constructor(
    listen: Pick<Listen, 'startFrame' | 'frames'>,
    sampleRateHz: number,
    soundOf: (source: string) => Sound,
  ) {
    this.#listen = listen
    this.#rate = sampleRateHz
    this.#soundOf = soundOf
  }

  recorded(blend: DeskBlend): Float64Array[] {
    return this.#sum(
      blend.channels,
      blend.strips.flatMap(({ leaves }) =>
        leaves.map(leaf => ({
          leaf,
          gain: leaf.recordedGain,
          atSamples: leaf.recordedAtSamples,
          laterSamples: 0,
          follow: null,
        })),
      ),
    )
  }

  delivered(blend: DeskBlend): Float64Array[] {
    return this.#sum(blend.channels, setLeaves(blend, [], this.#rate, false).map(placedLeaf))
  }

  /** The reference alone, as it is in the blend; null where it is no part of it. */
  reference(blend: DeskBlend): Float64Array[] | null {
    const strip = blend.strips.find(({ isReference }) => isReference)
    if (strip === undefined) return null
    return this.#sum(
      blend.channels,
      setLeaves({ ...blend, strips: [strip] }, [AT_REST], this.#rate, false).map(placedLeaf),
    )
  }

  /** As the faders stand. */
  yours(blend: DeskBlend, faders: readonly Fader[], wholeFrames: boolean): Float64Array[] {
    return this.#sum(blend.channels, setLeaves(blend, faders, this.#rate, wholeFrames).map(placedLeaf), true)
  }

  /** `again`: the same recordings will be asked for once more, most of them at the same place. */
  #sum(channels: number, placed: readonly Placed[], again = false): Float64Array[] {
    const total = Array.from({ length: channels }, () => new Float64Array(this.#listen.frames))
    for (const one of placed) {
      if (one.gain === 0) continue
      const moved = again ? this.#moveAgain(one) : this.#move(one)
      total.forEach((sum, c) => {
        const samples = moved[moved.length === 1 ? 0 : c]!
        for (let i = 0; i < sum.length; i++) sum[i] = sum[i]! + one.gain * samples[i]!
      })
    }
    return total
  }

  #moveAgain(placed: Placed): readonly Float64Array[] {
    const place = JSON.stringify([placed.atSamples, placed.laterSamples])
    const known = this.#moved.get(placed.leaf.source)
    if (known?.place === place) return known.channels
    const channels = this.#move(placed)
    this.#moved.set(placed.leaf.source, { place, channels })
    return channels
  }

  #move(placed: Placed): readonly Float64Array[] {
    const { startFrame, frames } = this.#listen
    const sound = this.#soundOf(placed.leaf.source)
    const motion = motionOf(asMotion(placed), this.#rate)
    const range = motion.inputRange(startFrame, frames)
    return sound.channels.map(samples => {
      const output = new Float64Array(frames)
      const input = stretchOf(samples, sound.startFrame, range.start, range.length)
      motion.apply(startFrame, input, range.start, output)
      return output
    })
  }
}

const placedLeaf = ({ leaf, gain, laterSamples }: SetLeaf): Placed => ({
  leaf,
  gain,
  atSamples: leaf.atSamples,
  laterSamples,
  follow: leaf.follow,
})
