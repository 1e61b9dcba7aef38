import type { DeskBlend } from '../desk/desk.js'
import { AT_REST, type Fader, faderSamples } from '../desk/faders.js'
import { fixed, signed } from '../words/figures.js'
import { onClick, one, tell } from './elements.js'

/** The listener's faders of one blend, as they stand in the page. */
export class FadersView {
  readonly #root: HTMLElement
  readonly #blend: DeskBlend
  readonly #tellsLag: (fader: Fader) => string
  readonly faders: Fader[]

  constructor(
    root: HTMLElement,
    blend: DeskBlend,
    { sampleRateHz, wholeFrames }: { readonly sampleRateHz: number; readonly wholeFrames: boolean },
    changed: () => void,
  ) {
    this.#root = root
    this.#blend = blend
    this.faders = blend.strips.map(() => AT_REST)
    this.#tellsLag = fader => {
      const frames = faderSamples(fader, sampleRateHz, wholeFrames)
      return `${signed((frames * 1000) / sampleRateHz, 2)} ms, ${signed(frames, wholeFrames ? 0 : 1)} frames`
    }
    blend.strips.forEach((_, s) => {
      this.#row(s).addEventListener('input', () => {
        this.#read(s)
        changed()
      })
      this.#show(s)
    })
    onClick(root, 'rest', () => {
      blend.strips.forEach((_, s) => {
        for (const input of this.#row(s).querySelectorAll('input')) {
          if (input.type === 'range') input.value = '0'
          else input.checked = false
        }
        this.#read(s)
      })
      changed()
    })
  }

  #row(strip: number): HTMLElement {
    return one<HTMLElement>(this.#root, `[data-strip="${strip}"]`)
  }

  #input(strip: number, what: keyof Fader): HTMLInputElement | null {
    return this.#row(strip).querySelector<HTMLInputElement>(`[data-fader="${what}"]`)
  }

  #read(strip: number): void {
    this.faders[strip] = {
      gainDb: Number(this.#input(strip, 'gainDb')?.value ?? 0),
      turned: this.#input(strip, 'turned')?.checked ?? false,
      laterMs: Number(this.#input(strip, 'laterMs')?.value ?? 0),
      off: this.#input(strip, 'off')?.checked ?? false,
    }
    this.#show(strip)
  }

  #show(strip: number): void {
    const fader = this.faders[strip]!
    const row = this.#row(strip)
    const { gainDb } = this.#blend.strips[strip]!
    const gain = `${fixed(gainDb + fader.gainDb, 1)} dB`
    tell(row, 'gainDb', gain)
    this.#input(strip, 'gainDb')?.setAttribute('aria-valuetext', gain)
    const lag = this.#tellsLag(fader)
    tell(row, 'laterMs', lag)
    this.#input(strip, 'laterMs')?.setAttribute('aria-valuetext', lag)
  }
}
