import type { DeskBlend } from '../desk/desk.js'
import type { Fader } from '../desk/faders.js'
import type { Listen } from '../listen/listen.js'
import type { Region } from '../listen/loop.js'
import { TakeMaker } from '../listen/takes.js'
import { loudnessOf, matchDb } from './loudness.js'
import { Player } from './player.js'
import { soundsOf } from './sounds.js'

/** What can be heard of a blend. */
export const TAKES = ['recorded', 'delivered', 'reference', 'yours'] as const
export type TakeName = (typeof TAKES)[number]

const gainOf = (db: number): number => Math.exp(db * (Math.LN10 / 20))

/** The takes of one blend on a player: made from the recordings that the page holds. */
export class Sounding {
  readonly player: Player
  readonly #maker: TakeMaker
  readonly #blend: DeskBlend
  readonly #rate: number
  readonly #wholeFrames: boolean
  readonly #lufs = new Map<string, number | null>()
  #matched = true

  constructor(
    context: BaseAudioContext,
    listen: Listen,
    blend: DeskBlend,
    { sampleRateHz, wholeFrames }: { readonly sampleRateHz: number; readonly wholeFrames: boolean },
    faders: readonly Fader[],
  ) {
    this.#blend = blend
    this.#rate = sampleRateHz
    this.#wholeFrames = wholeFrames
    this.#maker = new TakeMaker(listen, sampleRateHz, soundsOf(listen))
    this.player = new Player(context, { from: 0, to: listen.frames } satisfies Region, 'delivered')
    this.#put('recorded', this.#maker.recorded(blend))
    this.#put('delivered', this.#maker.delivered(blend))
    const reference = this.#maker.reference(blend)
    if (reference !== null) this.#put('reference', reference)
    this.try(faders)
  }

  /** The take `yours`, as the faders stand. */
  try(faders: readonly Fader[]): void {
    this.#put('yours', this.#maker.yours(this.#blend, faders, this.#wholeFrames))
    this.#level()
  }

  /** All takes at one loudness, or as they are. */
  match(on: boolean): void {
    this.#matched = on
    this.#level()
  }

  /** By how much each take is turned down, dB. */
  get matchDb(): ReadonlyMap<string, number> {
    return this.#matched ? matchDb(this.#lufs) : new Map([...this.#lufs.keys()].map(name => [name, 0]))
  }

  #put(name: TakeName, channels: readonly Float64Array[]): void {
    this.#lufs.set(name, loudnessOf(channels, this.#rate))
    this.player.set(name, channels)
  }

  #level(): void {
    for (const [name, db] of this.matchDb) this.player.match(name, gainOf(db))
  }
}
