import { blendOfCell } from '../explore/cell-blend.js'
import type { Cell } from '../explore/choices.js'
import type { Explorable } from '../explore/exploration.js'
import { TakeMaker } from '../listen/takes.js'
import { loudnessOf } from './loudness.js'
import { Player } from './player.js'
import { soundsOf } from './sounds.js'

/** Cells that are kept ready: what was heard last is there again at once, and a large group takes no more memory than a small one. */
const SLOTS = 8
/** How far under the reference alone everything is played: room for blends with higher peaks at the same loudness. */
const UNDER_REFERENCE_DB = 6
/** What cancels itself nearly whole is not blown up without end. */
const MOST_DB = 24

const gainOf = (db: number): number => Math.exp(db * (Math.LN10 / 20))
const dbOf = (gain: number): number => (20 * Math.log(gain)) / Math.LN10

interface Made {
  readonly slot: string
  readonly matchDb: number
}

/** The cells of an exploration on a player. Each is made from the recordings of the page when it is first heard. */
export class CellSounding {
  readonly player: Player
  readonly #about: Explorable
  readonly #maker: TakeMaker
  /** LUFS; null where the reference is silent here. */
  readonly #target: number | null
  /** By number; the one heard last stands last. */
  readonly #made = new Map<number, Made>()
  #heard = -1
  #matched = true

  constructor(context: BaseAudioContext, about: Explorable) {
    this.#about = about
    this.#maker = new TakeMaker(about.listen, about.sampleRateHz, soundsOf(about.listen))
    this.player = new Player(context, { from: 0, to: about.listen.frames }, '')
    const reference = loudnessOf(this.#take(about.cells[about.reference]!.cell), about.sampleRateHz)
    this.#target = reference === null ? null : reference - UNDER_REFERENCE_DB
  }

  /** Goes over to a cell at the same moment of the passage. */
  hear(number: number): void {
    const made = this.#made.get(number) ?? this.#make(number)
    this.#made.delete(number)
    this.#made.set(number, made)
    this.#heard = number
    this.#level()
    this.player.hear(made.slot)
  }

  match(on: boolean): void {
    this.#matched = on
    this.#level()
  }

  /** By how much what is heard is turned up or down, dB. */
  get matchDb(): number {
    return this.#matched ? (this.#made.get(this.#heard)?.matchDb ?? 0) : 0
  }

  #level(): void {
    for (const { slot, matchDb } of this.#made.values())
      this.player.match(slot, this.#matched ? gainOf(matchDb) : 1)
  }

  #take(cell: Cell): Float64Array[] {
    return this.#maker.delivered(blendOfCell(this.#about.equal, cell))
  }

  #make(number: number): Made {
    const take = this.#take(this.#about.cells[number]!.cell)
    const lufs = loudnessOf(take, this.#about.sampleRateHz)
    const peak = take.reduce(
      (most, samples) => samples.reduce((top, value) => Math.max(top, Math.abs(value)), most),
      0,
    )
    const wanted = lufs === null || this.#target === null ? 0 : this.#target - lufs
    const most = peak > 0 ? -dbOf(peak) : 0
    const made = { slot: this.#slot(), matchDb: Math.min(wanted, MOST_DB, Math.max(0, most)) }
    this.player.set(made.slot, take)
    return made
  }

  /** A free slot, or that of the cell that was not heard for longest. */
  #slot(): string {
    if (this.#made.size < SLOTS) return `slot ${this.#made.size}`
    const [oldest, { slot }] = [...this.#made][0]!
    this.#made.delete(oldest)
    return slot
  }
}
