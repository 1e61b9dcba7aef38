import type { DeskBlend } from '../desk/desk.js'
import type { Fader } from '../desk/faders.js'
import type { Listen } from '../listen/listen.js'
import { clock, fixed, signed } from '../words/figures.js'
import { blindTest } from './blind-view.js'
import { onClick, one, tell } from './elements.js'
import { Sounding, type TakeName } from './sounding.js'

interface About {
  readonly listen: Listen
  readonly blend: DeskBlend
  readonly sampleRateHz: number
  readonly wholeFrames: boolean
}

/** The desk that plays: one at a time. */
let playing: ListeningView | null = null

const NAMES: Readonly<Record<TakeName, string>> = {
  recorded: 'as recorded',
  delivered: 'lined up',
  reference: 'reference',
  yours: 'yours',
}

/** Shortest loop, seconds. */
const SHORTEST_LOOP = 0.1

/** What is heard of a note, and how much before it. Seconds. */
const NOTE_SECONDS = 1.6
const NOTE_LEAD = 0.05

/** Everything of a desk that has to do with sound. Nothing is unpacked or made before it is first played. */
export class ListeningView {
  readonly #root: HTMLElement
  readonly #about: About
  readonly #faders: () => readonly Fader[]
  #sounding: Sounding | null = null
  #loop: { from: number; to: number }
  #place = 0
  #blind = false

  constructor(root: HTMLElement, about: About, faders: () => readonly Fader[]) {
    this.#root = root
    this.#about = about
    this.#faders = faders
    this.#loop = { from: 0, to: about.listen.frames }
    onClick(root, 'play', () => {
      this.#play()
    })
    onClick(root, 'loudest', () => {
      this.#go(about.listen.loudestDifferenceFrame)
    })
    onClick(root, 'from', () => {
      this.#loopTo({ ...this.#loop, from: this.#position })
    })
    onClick(root, 'to', () => {
      this.#loopTo({ ...this.#loop, to: this.#position })
    })
    onClick(root, 'whole', () => {
      this.#loopTo({ from: 0, to: about.listen.frames })
    })
    for (const what of ['sound', 'level'])
      this.#set(what).addEventListener('input', () => {
        this.#loud()
      })
    this.#set('match').addEventListener('input', () => {
      this.#sounding?.match(this.#set('match').checked)
      this.#tellMatch()
    })
    this.#set('place').addEventListener('input', () => {
      this.#go(Math.round(Number(this.#set('place').value) * about.sampleRateHz))
    })
    for (const radio of this.#radios())
      radio.addEventListener('input', () => {
        this.#hear()
      })
    const reference = [...this.#radios()].find(({ value }) => value === 'reference')
    if (reference !== undefined)
      reference.disabled = !about.blend.strips.some(({ isReference }) => isReference)
    blindTest(root, {
      hear: take => {
        this.#play(true)
        this.#sounding?.player.hear(take)
      },
      running: on => {
        this.#beBlind(on)
      },
    })
    this.#tell()
  }

  /** The faders were moved. */
  faded(): void {
    this.#sounding?.try(this.#faders())
    this.#tellMatch()
  }

  /** Plays a short loop from a second of the passage on. */
  playFrom(second: number): void {
    const { listen, sampleRateHz } = this.#about
    const from = Math.max(0, Math.round((second - NOTE_LEAD) * sampleRateHz))
    this.#loop = { from, to: Math.min(listen.frames, from + Math.round(NOTE_SECONDS * sampleRateHz)) }
    this.#go(from)
    this.#play(true)
  }

  #set(what: string): HTMLInputElement {
    return one<HTMLInputElement>(this.#root, `[data-set="${what}"]`)
  }

  #radios(): NodeListOf<HTMLInputElement> {
    return this.#root.querySelectorAll<HTMLInputElement>('[name^="hear"]')
  }

  get #position(): number {
    return this.#sounding?.player.position ?? this.#place
  }

  #open(): Sounding {
    const { listen, blend, sampleRateHz } = this.#about
    const context = new AudioContext({ sampleRate: sampleRateHz })
    const sounding = new Sounding(context, listen, blend, this.#about, this.#faders())
    this.#sounding = sounding
    this.#hear()
    this.#loud()
    sounding.match(this.#set('match').checked)
    sounding.player.loop(this.#loop)
    sounding.player.go(this.#place)
    void context.resume()
    return sounding
  }

  #play(on = !(this.#sounding?.player.playing ?? false)): void {
    if (on) {
      if (playing !== null && playing !== this) playing.#play(false)
      playing = this
      const { player } = this.#sounding ?? this.#open()
      player.start()
      requestAnimationFrame(() => {
        this.#follow()
      })
    } else this.#sounding?.player.stop()
    one(this.#root, '[data-do="play"]').textContent = on ? 'Stop' : 'Play'
    this.#tell()
  }

  #follow(): void {
    this.#tell()
    if (this.#sounding?.player.playing === true)
      requestAnimationFrame(() => {
        this.#follow()
      })
  }

  #hear(): void {
    const heard = [...this.#radios()].find(({ checked }) => checked)?.value ?? 'delivered'
    if (!this.#blind) this.#sounding?.player.hear(heard)
  }

  #loud(): void {
    const level = Number(this.#set('level').value)
    const text = `${fixed(level, 0)} dB`
    tell(this.#root, 'level', text)
    this.#set('level').setAttribute('aria-valuetext', text)
    this.#sounding?.player.loud(this.#set('sound').checked ? Math.exp(level * (Math.LN10 / 20)) : 0)
    this.#tell()
  }

  #go(frame: number): void {
    const { from, to } = this.#loop
    if (frame < from || frame >= to) this.#loop = { from: 0, to: this.#about.listen.frames }
    this.#place = frame
    this.#sounding?.player.loop(this.#loop)
    this.#sounding?.player.go(frame)
    this.#tell()
  }

  #loopTo({ from, to }: { from: number; to: number }): void {
    const least = SHORTEST_LOOP * this.#about.sampleRateHz
    if (to - from < least) return
    this.#loop = { from: Math.round(from), to: Math.round(to) }
    this.#sounding?.player.loop(this.#loop)
    this.#tell()
  }

  /** During a blind test nothing may be changed or seen that gives the answer away. */
  #beBlind(on: boolean): void {
    this.#blind = on
    for (const input of [...this.#radios(), this.#set('match')]) input.disabled = on
    if (on) this.#sounding?.match(true)
    else {
      this.#sounding?.match(this.#set('match').checked)
      this.#hear()
    }
    this.#tellMatch()
  }

  #tell(): void {
    const { listen, sampleRateHz } = this.#about
    const at = this.#position
    const text = clock(listen.startSeconds + at / sampleRateHz, 1)
    this.#set('place').value = (at / sampleRateHz).toFixed(2)
    this.#set('place').setAttribute('aria-valuetext', text)
    tell(this.#root, 'place', text)
    const { from, to } = this.#loop
    const whole = from === 0 && to === listen.frames
    const time = (frame: number): string => clock(listen.startSeconds + frame / sampleRateHz, 1)
    tell(
      this.#root,
      'loop',
      whole ? 'all of it, round and round' : `${time(from)} to ${time(to)}, round and round`,
    )
    const muted = this.#sounding?.player.playing === true && !this.#set('sound').checked
    tell(this.#root, 'muted', muted ? 'playing, but the sound is switched off' : '')
    this.#tellMatch()
  }

  #tellMatch(): void {
    const amounts = this.#sounding?.matchDb
    if (amounts === undefined || this.#blind) {
      tell(this.#root, 'match', '')
      return
    }
    const on = this.#set('match').checked
    const words = [...amounts].map(([name, db]) => `${NAMES[name as TakeName]} ${signed(db, 1)}`)
    tell(this.#root, 'match', on ? `${words.join(', ')} dB` : 'each as loud as it is')
  }
}
