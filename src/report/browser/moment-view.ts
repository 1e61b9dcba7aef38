import { closeUpChart } from '../charts/close-up-chart.js'
import type { CloseUp, CloseUpView } from '../close-up/close-up.js'
import { closeUpAt, reachOf } from '../close-up/moment.js'
import type { Sound } from '../listen/takes.js'
import { frontsOf, scaleWords } from '../page/close-up-figure.js'
import { PLACES } from '../page/figure.js'
import type { ReportGroup } from '../report.js'
import { coarseView } from '../waveform/coarse-view.js'
import { clock, hertz } from '../words/figures.js'
import { onClick, one, tell } from './elements.js'
import { holdsSound, holdsWaveform, soundsOf, valuesOf } from './sounds.js'

/** What of the width of a chart its first panel takes, where two stand side by side. */
const PANEL_SHARE = 0.45

/** A view and what it was drawn from. */
interface Seen {
  readonly view: CloseUpView
  readonly from: string
  /** One of the attacks that the report holds: its time is told by what happens, not by the clock. */
  readonly isAttack: boolean
}

/** Everything that can be seen of a group, the finest first. */
class Views {
  readonly attacks: readonly CloseUpView[]
  /** The moments that can be asked for; null where there are the attacks alone. */
  readonly reach: { readonly from: number; readonly to: number } | null
  readonly #group: ReportGroup
  readonly #closeUp: CloseUp
  readonly #passage: { readonly from: number; readonly to: number } | null
  readonly #coarse: ((at: number) => CloseUpView) | null

  constructor(group: ReportGroup, closeUp: CloseUp) {
    const { listen, waveform } = group
    this.#group = group
    this.#closeUp = closeUp
    this.attacks = [closeUp, ...closeUp.elsewhere].sort((a, b) => a.attackSeconds - b.attackSeconds)
    this.#passage = listen !== null && holdsSound(listen) ? reachOf(group, closeUp) : null
    const values = waveform !== null && holdsWaveform(waveform) ? valuesOf(waveform) : null
    this.#coarse =
      waveform !== null && values !== null ? at => coarseView(group, closeUp, waveform, values, at) : null
    this.reach = waveform !== null && values !== null ? { from: 0, to: waveform.seconds } : this.#passage
  }

  /** Whether any moment of the song can be asked for. */
  get isWhole(): boolean {
    return this.#coarse !== null
  }

  at(seconds: number): Seen {
    const kept = this.attacks.findIndex(({ attackSeconds }) => Math.abs(attackSeconds - seconds) < 1e-3)
    if (kept >= 0) return this.#attack(kept)
    return this.#fromPassage(seconds) ?? this.#fromSong(seconds) ?? this.#attack(this.#nearest(seconds))
  }

  #attack(index: number): Seen {
    const from = `attack ${index + 1} of ${this.attacks.length} that are kept`
    return { view: this.attacks[index]!, from, isAttack: true }
  }

  #fromPassage(seconds: number): Seen | null {
    const passage = this.#passage
    const { listen } = this.#group
    if (passage === null || listen === null || seconds < passage.from || seconds > passage.to) return null
    const sound = (source: string): Sound | null =>
      listen.sounds.some(held => held.source === source) ? soundsOf(listen)(source) : null
    const view = closeUpAt(this.#group, this.#closeUp, sound, seconds)
    return view === null ? null : { view, from: 'from the sound in this page', isAttack: false }
  }

  #fromSong(seconds: number): Seen | null {
    const { waveform, sampleRateHz } = this.#group
    if (this.#coarse === null || waveform === null) return null
    const values = Math.round(sampleRateHz / waveform.everyFrames)
    const from = `from the whole song at ${values} values a second: only what sounds below ${hertz(waveform.bandHz)}`
    return { view: this.#coarse(seconds), from, isAttack: false }
  }

  #nearest(seconds: number): number {
    const distances = this.attacks.map(({ attackSeconds }) => Math.abs(attackSeconds - seconds))
    return distances.indexOf(Math.min(...distances))
  }
}

/** Moves one close-up to any moment of the song, or to the attacks that the report holds where the page holds no sound. */
export const momentView = (root: HTMLElement, group: ReportGroup, closeUp: CloseUp): void => {
  const figure = root.previousElementSibling as HTMLElement | null
  const slider = one<HTMLInputElement>(root, '[data-set=moment]')
  const views = new Views(group, closeUp)
  const { attacks, reach } = views
  if (figure === null || (reach === null && attacks.length < 2)) return
  const strip = root.querySelector<SVGSVGElement>('[data-tell=strip]')
  let shown: CloseUpView = closeUp
  let asked: number | null = null

  const draw = (at: number): void => {
    const seen = views.at(at)
    shown = seen.view
    const when = clock(shown.attackSeconds, 3)
    const axis = seen.isAttack ? undefined : `ms after ${when}`
    for (const [size, width] of Object.entries(PLACES.full)) {
      const place = figure.querySelector(`.at-${size}`)
      if (place === null) continue
      const label = `Close-up of ${group.name} at ${when}`
      const text = { id: `${figure.id}-${size}`, title: label, description: 'As recorded, and as delivered.' }
      place.innerHTML = closeUpChart(shown, frontsOf(group, shown), text, width, axis).text
    }
    say(seen)
  }
  const say = ({ view, from, isAttack }: Seen): void => {
    const text = `${clock(view.attackSeconds, 3)}, ${from}`
    tell(root, 'moment', text)
    tell(figure, 'scale', scaleWords(view))
    tell(figure, 'line', isAttack ? 'where it begins' : 'that moment')
    const when = clock(view.attackSeconds, isAttack ? 1 : 3)
    tell(figure, 'when', `${isAttack ? 'One attack' : 'The moment'} at ${when}.`)
    slider.setAttribute('aria-valuetext', text)
    const across = (view.attackSeconds / (group.waveform?.seconds ?? 1)) * (strip?.viewBox.baseVal.width ?? 0)
    strip?.querySelector('.here')?.setAttribute('d', `M${across.toFixed(2)} 0v100`)
  }
  const go = (at: number): void => {
    const within = Math.max(0, Math.min(Number(slider.max), at))
    slider.value = within.toFixed(3)
    if (asked === null)
      requestAnimationFrame(() => {
        const wanted = asked ?? within
        asked = null
        draw(wanted)
      })
    asked = within
  }

  slider.addEventListener('input', () => {
    go(Number(slider.value))
  })
  onClick(root, 'earlier', () => {
    const before = attacks.filter(view => view.attackSeconds < shown.attackSeconds - 1e-3).at(-1)
    if (before !== undefined) go(before.attackSeconds)
  })
  onClick(root, 'later', () => {
    const after = attacks.find(view => view.attackSeconds > shown.attackSeconds + 1e-3)
    if (after !== undefined) go(after.attackSeconds)
  })
  slider.max = Math.max(reach?.to ?? 0, attacks.at(-1)!.attackSeconds).toFixed(3)
  if (reach !== null) pulled(figure, () => shown, go)
  if (strip !== null && group.waveform !== null && views.isWhole) pressed(strip, group.waveform.seconds, go)
  else root.querySelector('.end-to-end')?.remove()
  say(views.at(closeUp.attackSeconds))
  root.hidden = false
}

/** The drawing follows the hand: a pull to the left shows what comes later. */
const pulled = (figure: HTMLElement, shown: () => CloseUpView, go: (at: number) => void): void => {
  const drawing = one<HTMLElement>(figure, 'figure')
  drawing.classList.add('draggable')
  let held: { readonly x: number; readonly at: number } | null = null
  drawing.addEventListener('pointerdown', event => {
    if (event.button !== 0 || !(event.target instanceof Element) || event.target.closest('svg') === null)
      return
    held = { x: event.clientX, at: shown().attackSeconds }
    drawing.setPointerCapture(event.pointerId)
  })
  drawing.addEventListener('pointermove', event => {
    if (held === null) return
    const { stepMs, traces } = shown()
    const width = drawing.clientWidth
    const panel = width >= 560 ? PANEL_SHARE * width : width
    const perPixel = (stepMs * (traces[0]?.before.length ?? 0)) / 1000 / panel
    go(held.at - (event.clientX - held.x) * perPixel)
  })
  for (const end of ['pointerup', 'pointercancel'] as const)
    drawing.addEventListener(end, () => {
      held = null
    })
}

/** The strip of the whole song: where the hand is, there the close-up is. */
const pressed = (strip: SVGSVGElement, seconds: number, go: (at: number) => void): void => {
  const follow = (event: PointerEvent): void => {
    const { left, width } = strip.getBoundingClientRect()
    go(((event.clientX - left) / width) * seconds)
  }
  strip.addEventListener('pointerdown', event => {
    if (event.button !== 0) return
    strip.setPointerCapture(event.pointerId)
    follow(event)
  })
  strip.addEventListener('pointermove', event => {
    if (strip.hasPointerCapture(event.pointerId)) follow(event)
  })
}
