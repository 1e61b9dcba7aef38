/**
 * The three pictures of docs/measuring.md, from real recordings through modelled paths: `npx tsx scripts/measuring-pictures.ts`. Recordings:
 * package supersonic-scsynth-samples (CC0 as it states). Needs ffmpeg to decode them.
 */
import { writeFileSync } from 'node:fs'
import { RECORDING_RATE_HZ } from '../test/corpus/recordings.js'
import { air, bell, lowPass, multiply, rollOff, ventedBox } from '../test/corpus/responses.js'
import { through } from '../test/corpus/spectrum.js'
import { type Heard, heardThrough, played } from './pictures/heard.js'
import { type Curve, drawn } from './pictures/plot.js'

const AIR_SECONDS = 0.0042
/** C2, from the name of the recording. */
const NOTE_HZ = 65.4064
const PLAIN = '#b3541e'
const OURS = '#1f5fa8'
const TRUTH = '#2b7a3d'
const ms = (samples: number): number => (1000 * samples) / RECORDING_RATE_HZ

const curveOf = (
  name: string,
  colour: string,
  values: Float64Array,
  framesPerPlace: number,
  scale = 1,
): Curve => ({
  name,
  colour,
  points: Array.from(values, (v, i) => [ms((i - (values.length - 1) / 2) * framesPerPlace), v * scale]),
})

const largest = (values: Float64Array): number => values.reduce((m, v) => Math.max(m, Math.abs(v)), 0)

const topMs = (curve: Curve): number =>
  curve.points.reduce((best, p) => (Math.abs(p[1]) > Math.abs(best[1]) ? p : best))[0]

const lagAxis = (reachMs: number, everyMs: number) => ({
  label: 'lag of the second recording, ms',
  from: -reachMs,
  to: reachMs,
  ticks: Array.from({ length: 2 * Math.floor(reachMs / everyMs) + 1 }, (_, i) => (i * everyMs - reachMs) | 0),
})

const HEIGHT = {
  label: 'part of the largest, with sign',
  from: -1.1,
  to: 1.1,
  ticks: [-1, -0.5, 0, 0.5, 1],
}

/** A bass note through a box of fourth order at 80 Hz, 4.2 ms away: the correlation follows the note. */
const bassNote = async (): Promise<string> => {
  const heard = await heardThrough(
    played('bass_hit_c', 1.1),
    multiply(ventedBox(80), rollOff(6000), bell(2500, 5, 2), air(AIR_SECONDS)),
  )
  const reach = Math.round(0.02 * RECORDING_RATE_HZ)
  const plain = heard.plain(reach)
  const curves = [
    curveOf('plain correlation', PLAIN, plain, 1, 1 / largest(plain)),
    curveOf('weighted by coherence, whitened', OURS, heard.ours(reach), 0.5),
  ]
  return drawn({
    title: 'A bass through a loudspeaker box: what two measures say of lag and polarity',
    x: lagAxis(20, 5),
    y: HEIGHT,
    curves,
    marks: [
      { x: 1000 * AIR_SECONDS, text: 'true path of 4.20 ms, normal', colour: TRUTH, row: 0 },
      {
        x: topMs(curves[0]!),
        text: `correlation: ${topMs(curves[0]!).toFixed(2)} ms, inverted`,
        colour: PLAIN,
        row: 1,
      },
    ],
  })
}

/** A low bass alone through a box of fourth order at 110 Hz: its phase against a pure delay turns right over. */
const turnedOver = async (): Promise<string> => {
  const heard = await heardThrough(
    played('bass_woodsy_c', 1.1),
    multiply(ventedBox(110), lowPass(260), lowPass(260), air(AIR_SECONDS)),
  )
  const [low, high] = heard.estimate.halves
  const asks = (half: typeof low): string =>
    `${half!.fromHz.toFixed(0)}–${half!.toHz.toFixed(0)} Hz: ${half!.agreement.toFixed(2)} of its best here`
  return drawn({
    title: 'A 4th-order high-pass turns the low end over: phase left after the lag is taken off',
    x: {
      label: 'frequency, Hz',
      from: 40,
      to: 1300,
      ticks: [50, 100, 200, 400, 800],
      logarithmic: true,
    },
    y: { label: 'phase, degrees', from: -180, to: 180, ticks: [-180, -90, 0, 90, 180] },
    curves: [phaseOf(heard)],
    marks: [
      { x: low!.fromHz, text: `lower half ${asks(low)}`, colour: PLAIN, row: 0 },
      { x: high!.fromHz, text: `upper half ${asks(high)}`, colour: TRUTH, row: 1 },
    ],
  })
}

const phaseOf = ({ estimate, arrival, input }: Heard): Curve => {
  const { sound } = arrival
  const { fftSize, sampleRateHz } = input.sums
  const left = estimate.lagSamples - sound.aroundLag
  const points: [number, number][] = []
  const dots: number[] = []
  for (let k = 8; (k * sampleRateHz) / fftSize < 1300; k++) {
    const angle = (2 * Math.PI * k * left) / fftSize
    const re = sound.smooth[2 * k]! * Math.cos(angle) - sound.smooth[2 * k + 1]! * Math.sin(angle)
    const im = sound.smooth[2 * k]! * Math.sin(angle) + sound.smooth[2 * k + 1]! * Math.cos(angle)
    points.push([
      (k * sampleRateHz) / fftSize,
      (180 / Math.PI) * Math.atan2(estimate.sign * im, estimate.sign * re),
    ])
    dots.push(4 * sound.gammaSquared[k]!)
  }
  return { name: 'each bin; size = coherence', colour: OURS, points, dots }
}

/** The same note without its attack: its period fits as well as the truth. */
const heldNote = async (): Promise<string> => {
  // From half a second into one stroke on, faded in.
  const held = played('bass_woodsy_c', 9, 2.5)
    .subarray(3000 + 0.5 * RECORDING_RATE_HZ)
    .map((v, n) => v * Math.min(1, n / (0.2 * RECORDING_RATE_HZ)))
  const dull = through(held, RECORDING_RATE_HZ, 8192, multiply(lowPass(260), lowPass(260)))
  const heard = await heardThrough(dull, air(AIR_SECONDS))
  const curve = curveOf(
    'weighted by coherence, whitened',
    OURS,
    heard.ours(Math.round(0.036 * RECORDING_RATE_HZ)),
    0.5,
  )
  const rivals = [-2, -1, 1].map(periods => {
    const near = curve.points.filter(([x]) => Math.abs(x - 1000 * (AIR_SECONDS + periods / NOTE_HZ)) < 2)
    return near.reduce((best, p) => (Math.abs(p[1]) > Math.abs(best[1]) ? p : best))
  })
  return drawn({
    title: 'A low C (65.4 Hz, period 15.3 ms) without its attack: every period fits nearly as well',
    x: lagAxis(35, 5),
    y: HEIGHT,
    curves: [curve],
    marks: [
      { x: 1000 * AIR_SECONDS, text: 'true path of 4.20 ms', colour: TRUTH, row: 0 },
      ...rivals.map(([x, height], i) => ({
        x,
        text: `${Math.abs(height).toFixed(2)} of the best at ${x.toFixed(1).replace('-', '−')} ms`,
        colour: PLAIN,
        row: i + 1,
      })),
    ],
  })
}

writeFileSync('docs/measuring-bass.svg', await bassNote())
writeFileSync('docs/measuring-high-pass.svg', await turnedOver())
writeFileSync('docs/measuring-held-note.svg', await heldNote())
