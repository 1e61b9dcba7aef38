import { writtenDown } from '../desk/write-down.js'
import type { Report } from '../report.js'
import { onClick, one } from './elements.js'
import { FadersView } from './faders-view.js'
import { ListeningView } from './listening-view.js'
import { momentView } from './moment-view.js'
import { notesOf } from './notes-view.js'
import { holdsSound } from './sounds.js'
import { showTone } from './tone-view.js'

/** Fills one desk of the page with life. */
const openDesk = (root: HTMLElement, report: Report): void => {
  const group = report.groups[Number(root.dataset['group'])]
  const blend = group?.desk?.blends[Number(root.dataset['blend'])]
  if (group?.desk == null || blend === undefined) return
  const { spectra } = group.desk
  const about = { sampleRateHz: group.sampleRateHz, wholeFrames: group.align.resolution === 'sample' }
  const hand = one<HTMLDetailsElement>(root, '.faders')
  const written = one<HTMLElement>(root, '.written')
  let asked = false
  const show = (): void => {
    asked = false
    showTone(root, { blend, spectra }, hands.faders, about)
    listening?.faded()
  }
  const hands = new FadersView(root, blend, about, () => {
    written.hidden = true
    if (!asked) requestAnimationFrame(show)
    asked = true
  })
  const { listen } = group
  const sounds = listen !== null && holdsSound(listen)
  one<HTMLElement>(root, '.sounding').hidden = !sounds
  one<HTMLElement>(root, '.silent').hidden = sounds
  const passage = document.querySelector<HTMLElement>(`#group-${root.dataset['group']} .held-passage`)
  if (passage !== null) passage.hidden = !sounds
  const blind = root.querySelector<HTMLElement>('.blind')
  if (blind !== null) blind.hidden = !sounds
  const listening = sounds ? new ListeningView(root, { ...about, listen, blend }, () => hands.faders) : null
  if (listening !== null && listen !== null) {
    const { startSeconds } = listen
    notesOf(
      `${root.dataset['group']}/${blend.name}`,
      startSeconds,
      listen.frames / group.sampleRateHz,
      at => {
        listening.playFrom(at - startSeconds)
      },
    )
  }
  // Spectra are unpacked when somebody looks.
  hand.addEventListener('toggle', () => {
    if (hand.open) showTone(root, { blend, spectra }, hands.faders, about)
  })
  const lines = one<HTMLTextAreaElement>(root, '[data-tell="yaml"]')
  onClick(root, 'write', () => {
    lines.value = writtenDown({
      recipeFile: report.recipe.file,
      song: report.song,
      group: group.name,
      ...about,
      blend,
      faders: hands.faders,
    })
    written.hidden = false
    lines.focus()
    lines.select()
  })
  onClick(root, 'copy', () => {
    lines.select()
    void navigator.clipboard?.writeText(lines.value).catch(() => undefined)
  })
  root.hidden = false
}

const report = JSON.parse(one(document, '#report').textContent ?? '') as Report
for (const root of document.querySelectorAll<HTMLElement>('.desk')) openDesk(root, report)
for (const root of document.querySelectorAll<HTMLElement>('.moment')) {
  const group = report.groups[Number(root.dataset['group'])]
  if (group?.closeUp != null) momentView(root, group, group.closeUp)
}
