import { seededRandom } from '../../../src/signal/random.js'

/** Sounds for tests: seeded, full scale 1. Frequencies in Hz, times in seconds. */

export const silence = (frames: number): Float64Array => new Float64Array(frames)

/** White Gaussian noise of a given rms. */
export const whiteNoise = (frames: number, seed: string, rms = 0.1): Float64Array => {
  const random = seededRandom(seed)
  return Float64Array.from({ length: frames }, () => {
    const radius = Math.sqrt(-2 * Math.log(1 - random()))
    return rms * radius * Math.cos(2 * Math.PI * random())
  })
}

/** The same with 20 ms of rise and fall, so that no edge is loud enough for a fade. */
export const eased = (sound: Float64Array, rate: number): Float64Array =>
  sound.map((x, n) => x * Math.min(1, n / (0.02 * rate), (sound.length - 1 - n) / (0.02 * rate)))

/** One note: harmonics that fall as 1/k, each decaying, the higher the faster. Added into `sound`. */
export const addPluck = (
  sound: Float64Array,
  rate: number,
  note: { hz: number; at: number; seconds: number; amplitude: number; partials?: number; ring?: number },
): void => {
  const { hz, at, seconds, amplitude, partials = 12, ring = 1.2 } = note
  const first = Math.round(at * rate)
  const last = Math.min(sound.length, first + Math.round(seconds * rate))
  for (let k = 1; k <= partials && k * hz < 0.45 * rate; k++) {
    const decay = (1 + 0.25 * k) / ring
    for (let n = first; n < last; n++) {
      const t = (n - first) / rate
      const edge = Math.min(1, t / 0.003, (last - n) / rate / 0.01)
      sound[n] =
        sound[n]! + ((amplitude * edge) / k) * Math.exp(-decay * t) * Math.sin(2 * Math.PI * k * hz * t + k)
    }
  }
}

/** A drum with wires: two damped modes that are no harmonics, and a burst of noise. */
export const addSnare = (
  sound: Float64Array,
  rate: number,
  at: number,
  seed: string,
  amplitude = 0.4,
): void => {
  const first = Math.round(at * rate)
  const noise = whiteNoise(Math.round(0.25 * rate), seed, 1)
  for (let n = 0; n < noise.length && first + n < sound.length; n++) {
    const t = n / rate
    const modes =
      Math.sin(2 * Math.PI * 192 * t) * Math.exp(-t / 0.05) +
      0.6 * Math.sin(2 * Math.PI * 306 * t) * Math.exp(-t / 0.04)
    sound[first + n] = sound[first + n]! + amplitude * (0.5 * modes + 0.25 * noise[n]! * Math.exp(-t / 0.07))
  }
}

/** sum of taps of an impulse response at whole frames: reflections. */
export const reflected = (
  sound: Float64Array,
  taps: readonly { readonly frames: number; readonly gain: number }[],
): Float64Array => {
  const out = new Float64Array(sound.length)
  for (const { frames, gain } of taps) {
    for (let n = Math.max(0, frames); n < out.length; n++) out[n] = out[n]! + gain * (sound[n - frames] ?? 0)
  }
  return out
}

/** One pole: a low-pass, or with `high` what it leaves. */
export const onePole = (sound: Float64Array, rate: number, hz: number, high = false): Float64Array => {
  const share = 1 - Math.exp((-2 * Math.PI * hz) / rate)
  let state = 0
  return sound.map(x => {
    state += share * (x - state)
    return high ? x - state : state
  })
}

export const mixed = (...sounds: readonly Float64Array[]): Float64Array =>
  sounds[0]!.map((_, n) => sounds.reduce((sum, sound) => sum + sound[n]!, 0))

export const scaled = (sound: Float64Array, gain: number): Float64Array => sound.map(x => gain * x)

/** Frequency of a MIDI note. */
export const noteHz = (midi: number): number => 440 * Math.exp(((midi - 69) * Math.LN2) / 12)
