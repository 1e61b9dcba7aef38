import type { Explorable } from '../explore/exploration.js'
import { fixed, signed } from '../words/figures.js'
import { CellSounding } from './cell-sounding.js'
import { onClick, one, tell } from './elements.js'

const about = JSON.parse(one(document, '#explorable').textContent ?? '') as Explorable
const deck = one<HTMLElement>(document, '.deck')
const written = one<HTMLElement>(deck, '.written')
const lines = one<HTMLTextAreaElement>(deck, '[data-tell="yaml"]')
const set = (what: string): HTMLInputElement => one<HTMLInputElement>(deck, `[data-set="${what}"]`)
const radios = [...document.querySelectorAll<HTMLInputElement>('[name="cell"]')]

let sounding: CellSounding | null = null
let chosen = -1
let before = -1

const tellState = (): void => {
  tell(deck, 'cell', chosen < 0 ? 'Nothing chosen yet.' : `Chosen: ${about.cells[chosen]!.words}.`)
  const playing = sounding?.player.playing === true
  tell(deck, 'match', sounding === null ? '' : `Level turned by ${signed(sounding.matchDb, 1)} dB.`)
  tell(deck, 'muted', playing && !set('sound').checked ? 'Playing, but the sound is switched off.' : '')
  one(deck, '[data-do="play"]').textContent = playing ? 'Stop' : 'Play'
  for (const what of ['before', 'write'])
    one<HTMLButtonElement>(deck, `[data-do="${what}"]`).disabled = (what === 'before' ? before : chosen) < 0
}

const loud = (): void => {
  const level = Number(set('level').value)
  const text = `${fixed(level, 0)} dB`
  tell(deck, 'level', text)
  set('level').setAttribute('aria-valuetext', text)
  sounding?.player.loud(set('sound').checked ? Math.exp(level * (Math.LN10 / 20)) : 0)
  tellState()
}

const open = (): CellSounding => {
  const context = new AudioContext({ sampleRate: about.sampleRateHz })
  const made = new CellSounding(context, about)
  made.match(set('match').checked)
  sounding = made
  loud()
  void context.resume()
  return made
}

const choose = (number: number): void => {
  if (number === chosen) return
  before = chosen
  chosen = number
  const radio = radios.find(({ value }) => Number(value) === number)
  if (radio !== undefined) radio.checked = true
  written.hidden = true
  sounding?.hear(number)
  tellState()
}

for (const radio of radios)
  radio.addEventListener('input', () => {
    choose(Number(radio.value))
  })
for (const what of ['sound', 'level']) set(what).addEventListener('input', loud)
set('match').addEventListener('input', () => {
  sounding?.match(set('match').checked)
  tellState()
})
onClick(deck, 'play', () => {
  const player = (sounding ?? open()).player
  if (player.playing) player.stop()
  else {
    if (chosen < 0) choose(about.reference)
    else sounding?.hear(chosen)
    player.start()
  }
  tellState()
})
onClick(deck, 'before', () => {
  if (before >= 0) choose(before)
})
onClick(deck, 'write', () => {
  lines.value = about.cells[chosen]?.written ?? ''
  written.hidden = false
  lines.focus()
  lines.select()
})
onClick(deck, 'copy', () => {
  lines.select()
  void navigator.clipboard?.writeText(lines.value).catch(() => undefined)
})
// What a browser remembers of a page that is loaded again is not what is heard.
for (const radio of radios) radio.checked = false
tellState()
