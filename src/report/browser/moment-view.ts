import { closeUpChart } from '../charts/close-up-chart.js'
import type { CloseUp, CloseUpView } from '../close-up/close-up.js'
import { closeUpAt, reachOf } from '../close-up/moment.js'
import type { Sound } from '../listen/takes.js'
import { frontsOf } from '../page/close-up-figure.js'
import { PLACES } from '../page/figure.js'
import type { ReportGroup } from '../report.js'
import { clock } from '../words/figures.js'
import { onClick, one, tell } from './elements.js'
import { holdsSound, soundsOf } from './sounds.js'

/** What of the width of a chart its first panel takes, where two stand side by side. */
const PANEL_SHARE = 0.45

/** Moves one close-up to other moments: attacks from all through the song that the report holds, and, where the page has sound, anything. */
export const momentView = (root: HTMLElement, group: ReportGroup, closeUp: CloseUp): void => {
  const { listen } = group
  const figure = root.previousElementSibling as HTMLElement | null
  const slider = one<HTMLInputElement>(root, '[data-set=moment]')
  const reach = listen !== null && holdsSound(listen) ? reachOf(group, closeUp) : null
  const stored = [closeUp, ...closeUp.elsewhere].sort((a, b) => a.attackSeconds - b.attackSeconds)
  if (figure === null || (reach === null && stored.length < 2)) return
  const sound = (source: string): Sound | null =>
    listen?.sounds.some(held => held.source === source) === true ? soundsOf(listen)(source) : null

  const nearest = (at: number): CloseUpView =>
    stored.reduce((best, one) =>
      Math.abs(one.attackSeconds - at) < Math.abs(best.attackSeconds - at) ? one : best,
    )
  let shown: CloseUpView = closeUp
  let asked: number | null = null

  const draw = (at: number): void => {
    const kept = stored.find(view => Math.abs(view.attackSeconds - at) < 1e-3)
    const free =
      kept === undefined && reach !== null && at >= reach.from && at <= reach.to
        ? closeUpAt(group, closeUp, sound, at)
        : null
    shown = free ?? kept ?? nearest(at)
    const when = clock(shown.attackSeconds, 3)
    const axis = free === null ? undefined : `ms after ${when}`
    for (const [size, width] of Object.entries(PLACES.full)) {
      const place = figure.querySelector(`.at-${size}`)
      if (place === null) continue
      const label = `Close-up of ${group.name} at ${when}`
      const text = { id: `${figure.id}-${size}`, title: label, description: 'As recorded, and as delivered.' }
      place.innerHTML = closeUpChart(shown, frontsOf(group, shown), text, width, axis).text
    }
    say(free !== null)
  }
  const say = (isFree: boolean): void => {
    const kept = `attack ${stored.findIndex(view => view === shown) + 1} of ${stored.length} that are kept`
    const text = `${clock(shown.attackSeconds, 3)}, ${isFree ? 'from the sound in this page' : kept}`
    tell(root, 'moment', text)
    tell(
      figure,
      'when',
      `${isFree ? 'The moment' : 'One attack'} at ${clock(shown.attackSeconds, isFree ? 3 : 1)}.`,
    )
    slider.setAttribute('aria-valuetext', text)
  }
  const go = (at: number): void => {
    slider.value = at.toFixed(3)
    if (asked === null)
      requestAnimationFrame(() => {
        const wanted = asked ?? at
        asked = null
        draw(wanted)
      })
    asked = at
  }

  slider.addEventListener('input', () => {
    go(Number(slider.value))
  })
  onClick(root, 'earlier', () => {
    const before = stored.filter(view => view.attackSeconds < shown.attackSeconds - 1e-3).at(-1)
    if (before !== undefined) go(before.attackSeconds)
  })
  onClick(root, 'later', () => {
    const after = stored.find(view => view.attackSeconds > shown.attackSeconds + 1e-3)
    if (after !== undefined) go(after.attackSeconds)
  })
  if (reach !== null) dragged(figure, () => shown, go)
  slider.max = Math.max(reach?.to ?? 0, stored.at(-1)!.attackSeconds).toFixed(3)
  say(false)
  root.hidden = false
}

/** The drawing follows the hand: a pull to the left shows what comes later. */
const dragged = (figure: HTMLElement, shown: () => CloseUpView, go: (at: number) => void): void => {
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
    go(Math.max(0, held.at - (event.clientX - held.x) * perPixel))
  })
  for (const end of ['pointerup', 'pointercancel'] as const)
    drawing.addEventListener(end, () => {
      held = null
    })
}
