import type { DeskBlend, DeskSpectra } from '../desk/desk.js'
import { type Fader, setLeaves, summedParts } from '../desk/faders.js'
import { liveTone } from '../desk/live-tone.js'
import { type OpenedSpectra, openedSpectra } from '../desk/opened-spectra.js'
import { fixed, hertz, orDash } from '../words/figures.js'
import { tell } from './elements.js'
import { drawCurve } from './live-curve.js'

const opened = new WeakMap<DeskSpectra, OpenedSpectra>()

const open = (spectra: DeskSpectra): OpenedSpectra => {
  const known = opened.get(spectra) ?? openedSpectra(spectra)
  opened.set(spectra, known)
  return known
}

/** Draws and tells the tone of a blend as the faders stand. */
export const showTone = (
  root: HTMLElement,
  desk: { readonly blend: DeskBlend; readonly spectra: DeskSpectra },
  faders: readonly Fader[],
  { sampleRateHz, wholeFrames }: { readonly sampleRateHz: number; readonly wholeFrames: boolean },
): void => {
  const leaves = setLeaves(desk.blend, faders, sampleRateHz, wholeFrames)
  const tone = liveTone(open(desk.spectra), summedParts(desk.blend, leaves, sampleRateHz), sampleRateHz)
  for (const path of root.querySelectorAll<SVGPathElement>('path.yours')) {
    drawCurve(path, tone.frequenciesHz, tone.lossDb)
  }
  tell(root, 'notch', tone.firstNotchHz === null ? 'none' : hertz(tone.firstNotchHz))
  tell(
    root,
    'evenness',
    orDash(tone.evennessDb, db => `${fixed(db, 1)} dB`),
  )
  let worst = -1
  tone.lossDb.forEach((loss, i) => {
    if (loss !== null && loss > (tone.lossDb[worst] ?? 0)) worst = i
  })
  const most = worst < 0 ? null : tone.lossDb[worst]!
  tell(
    root,
    'worst',
    most === null ? 'nothing' : `${fixed(most, 1)} dB at ${hertz(tone.frequenciesHz[worst]!)}`,
  )
}
