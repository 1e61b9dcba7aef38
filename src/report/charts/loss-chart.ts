import { max } from 'd3-array'
import type { BlendTone, Semitone } from '../../tone/tone.js'
import { html, type Markup } from '../page/markup.js'
import { fixed } from '../words/figures.js'
import { bottomAxis, leftAxis } from './axes.js'
import { pathOf } from './paths.js'
import { type Box, frequencyTicks, linear, logarithmic, px, type Scale } from './scales.js'
import { type ChartText, svg } from './svg.js'

/** Height of the strip under the curves in which the played semitones stand. */
const STRIP = 30
/** Losses beyond are drawn at the edge: nothing is heard of such a frequency any more. Dec. */
const DEEPEST_DB = 24

/** Semitones with less than this share of the energy are not marked. */
const PLAYED_SHARE = 0.002

/** Semitones that hold at least 0.2 % of the energy: the others are not worth a dot. */
export const playedSemitones = (tone: BlendTone): readonly Semitone[] =>
  tone.semitones.filter(semitone => semitone.energyShare >= PLAYED_SHARE)

/** Lowest and highest frequency at which anything was played, Hz. */
export const lossDomain = (tone: BlendTone): [number, number] => {
  const sounding = tone.frequenciesHz.filter(
    (_, i) => (tone.before.lossDb[i] ?? null) !== null || (tone.after.lossDb[i] ?? null) !== null,
  )
  return [Math.max(20, sounding[0] ?? 20), Math.min(20000, sounding.at(-1) ?? 20000)]
}

const clipped = (values: readonly (number | null)[], deepest: number): readonly (number | null)[] =>
  values.map(value => (value === null ? null : Math.min(deepest, value)))

/** Bars by share of the energy, with the names of the strongest notes where they do not touch. */
const strip = (semitones: readonly Semitone[], x: Scale, top: number): Markup => {
  const most = max(semitones, s => s.energyShare) ?? 1
  const named: number[] = []
  const strongest = [...semitones].sort((a, b) => b.energyShare - a.energyShare).slice(0, 8)
  const labels = strongest.flatMap(semitone => {
    const at = x(semitone.frequencyHz)
    if (named.some(other => Math.abs(other - at) < 26)) return []
    named.push(at)
    return [
      html`<text class="note" x="${px(at)}" y="${top + STRIP - 1}" text-anchor="middle">${semitone.name}</text>`,
    ]
  })
  const bars = semitones.map(semitone => {
    const at = px(x(semitone.frequencyHz))
    const height = px(2 + 15 * Math.sqrt(semitone.energyShare / most))
    return html`<line class="played" x1="${at}" x2="${at}" y1="${top + 18}" y2="${top + 18 - height}"/>`
  })
  return html`<g>${bars}${labels}</g>`
}

const dots = (semitones: readonly Semitone[], x: Scale, y: Scale, deepest: number): Markup =>
  html`<g>${semitones.map(({ frequencyHz, lossBeforeDb, lossAfterDb }) => {
    const at = px(x(frequencyHz))
    return html`${
      lossBeforeDb !== null &&
      lossAfterDb !== null &&
      html`<line class="change" x1="${at}" x2="${at}" y1="${px(y(Math.min(deepest, lossBeforeDb)))}" y2="${px(y(Math.min(deepest, lossAfterDb)))}"/>`
    }${
      lossBeforeDb !== null &&
      html`<circle class="dot before" cx="${at}" cy="${px(y(Math.min(deepest, lossBeforeDb)))}" r="2.6"/>`
    }${
      lossAfterDb !== null &&
      html`<circle class="dot after" cx="${at}" cy="${px(y(Math.min(deepest, lossAfterDb)))}" r="2.6"/>`
    }`
  })}</g>`

/**
 * Loss of a blend over frequency, as recorded (broken line, open dots) and as delivered (full line, full dots); 0 on top, deeper is worse.
 * Dots: each note that was played, with its overtones, at its own pitch; the strip below: how much of the energy each holds.
 */
export const lossChart = (tone: BlendTone, text: ChartText, width: number): Markup => {
  const narrow = width < 480
  const height = narrow ? 216 : 268
  const box: Box = { width, height, left: 28, right: 10, top: 26, bottom: 34 }
  const [low, high] = lossDomain(tone)
  const worst = max([...tone.before.lossDb, ...tone.after.lossDb], value => value ?? 0) ?? 0
  const deepest = Math.min(DEEPEST_DB, Math.max(6, Math.ceil(worst / 3) * 3))
  const x = logarithmic([low, high], [box.left, width - box.right])
  const floor = height - box.bottom - STRIP - 6
  const y = linear([0, deepest], [box.top, floor])
  const semitones = playedSemitones(tone).filter(s => s.frequencyHz >= low && s.frequencyHz <= high)
  const step = deepest > 12 ? 6 : 3
  const ticks = Array.from({ length: Math.floor(deepest / step) + 1 }, (_, i) => ({
    at: i * step,
    label: fixed(i * step, 0),
  }))
  return svg(text, width, height, [
    leftAxis(box, y, ticks, 'loss, dB'),
    bottomAxis(box, x, frequencyTicks([low, high], narrow), 'frequency, Hz'),
    // The broken line on top: where nothing changed, both are seen.
    html`<path class="curve after" d="${pathOf(tone.frequenciesHz, clipped(tone.after.lossDb, deepest), x, y)}"/>`,
    html`<path class="curve before" d="${pathOf(tone.frequenciesHz, clipped(tone.before.lossDb, deepest), x, y)}"/>`,
    dots(semitones, x, y, deepest),
    strip(semitones, x, floor + 6),
  ])
}
