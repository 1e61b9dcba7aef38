import * as portable from '../terms/portable.js'
/**
 * The slate: a test signal of our own that is played once through all paths. Half a second of silence, a sweep from 40 Hz to 16 kHz
 * in 3 s whose pitch rises evenly (about 8.6 octaves), a second of silence, the same sweep upside down, silence again.
 *
 * Why a sweep: its energy is spread over 3 s, so it may be quiet and is still found 40 dB under what a click of that level needs;
 * divided by itself, what a path adds comes out as the path's impulse response, and overtones of an overdriven loudspeaker
 * fall before the direct sound and apart from it (Farina 2000, from memory). Why twice, the second upside down: it can be
 * told from a copy or an echo, and what does not turn over with it is noise, hum, or distortion of even order.
 */
export const SLATE = {
  lowHz: 40,
  highHz: 16000,
  sweepSeconds: 3,
  leadSeconds: 0.5,
  gapSeconds: 1,
  tailSeconds: 1.5,
  fadeInSeconds: 0.06,
  fadeOutSeconds: 0.01,
  /** -20 dBFS at the tops. */
  peak: 0.1,
} as const

/** Lowest rate that holds the sweep. */
export const SLATE_LOWEST_RATE_HZ = 40000

/** From the start of one sweep to the start of the other, seconds. */
export const SLATE_SPACING_SECONDS = SLATE.sweepSeconds + SLATE.gapSeconds

const GROWTH_SECONDS = SLATE.sweepSeconds / portable.log(SLATE.highHz / SLATE.lowHz)

/**
 * One sweep with its fades, peak 1. `seconds`: only so much of its start (by default all), with the same fade at its end: for
 * rates that cannot hold the rest. Its pitch at `t` is `40 Hz * exp(t / 0.5007 s)`.
 */
export const slateSweep = (sampleRateHz: number, seconds: number = SLATE.sweepSeconds): Float64Array => {
  const frames = Math.round(seconds * sampleRateHz)
  return Float64Array.from({ length: frames }, (_, n) => {
    const t = n / sampleRateHz
    const cycles = SLATE.lowHz * GROWTH_SECONDS * (portable.exp(t / GROWTH_SECONDS) - 1)
    const fade = ramp(t / SLATE.fadeInSeconds) * ramp((frames / sampleRateHz - t) / SLATE.fadeOutSeconds)
    // Whole cycles are taken off first: the sine of a large number would lose digits.
    return fade * portable.sin(2 * Math.PI * (cycles - Math.floor(cycles)))
  })
}

/** Part of the sweep, from its start, that stays under a frequency, seconds. */
export const sweepSecondsBelow = (frequencyHz: number): number =>
  Math.min(SLATE.sweepSeconds, GROWTH_SECONDS * portable.log(frequencyHz / SLATE.lowHz))

/** The whole slate at its level, 9 s. `sampleRateHz`: at least 40 kHz, RangeError otherwise. */
export const slateSignal = (sampleRateHz: number): Float64Array => {
  if (!(sampleRateHz >= SLATE_LOWEST_RATE_HZ)) {
    throw new RangeError(`The slate needs ${SLATE_LOWEST_RATE_HZ} Hz or more, not ${sampleRateHz}`)
  }
  const frames = (seconds: number): number => Math.round(seconds * sampleRateHz)
  const sweep = slateSweep(sampleRateHz)
  const first = frames(SLATE.leadSeconds)
  const second = first + frames(SLATE_SPACING_SECONDS)
  const slate = new Float64Array(second + sweep.length + frames(SLATE.tailSeconds))
  sweep.forEach((value, n) => {
    slate[first + n] = SLATE.peak * value
    slate[second + n] = -SLATE.peak * value
  })
  return slate
}

const ramp = (x: number): number => (x <= 0 ? 0 : x >= 1 ? 1 : 0.5 - 0.5 * portable.cos(Math.PI * x))
