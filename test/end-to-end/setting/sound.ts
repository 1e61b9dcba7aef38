/** A generator of evenly spread numbers in [-1, 1): the same for the same seed. (xorshift32; Marsaglia, "Xorshift RNGs", 2003.) */
export const noiseFrom = (seed: number): (() => number) => {
  let state = seed | 0 || 1
  return () => {
    state ^= state << 13
    state ^= state >>> 17
    state ^= state << 5
    return state / 2147483648
  }
}

/**
 * One performance of plucked strokes at twice the rate of the files: short noise bursts with a decaying low note, two a second.
 * At twice the rate, a delay by an odd number of its frames is a delay by a half frame in the files.
 */
const performance = (frames: number, sampleRateHz: number, seed: number): Float64Array => {
  const noise = noiseFrom(seed)
  const sound = new Float64Array(frames)
  const strokeEvery = Math.round(sampleRateHz / 2)
  const notesHz = [82.4, 110, 98, 146.8, 123.5]
  let tone = 0
  for (let frame = 0; frame < frames; frame += 1) {
    const since = (frame % strokeEvery) / sampleRateHz
    const noteHz = notesHz[Math.floor(frame / strokeEvery) % notesHz.length] ?? 110
    tone += (2 * Math.PI * noteHz) / sampleRateHz
    const attack = Math.min(1, since / 0.002)
    sound[frame] =
      attack * (0.25 * Math.exp(-since * 30) * noise() + 0.18 * Math.exp(-since * 5) * Math.sin(tone))
  }
  return sound
}

// Half-band low-pass, 63 taps, Hann-windowed sinc at a quarter of the doubled rate.
const halfBand = Float64Array.from({ length: 63 }, (_, i) => {
  const x = (i - 31) / 2
  const sinc = x === 0 ? 1 : Math.sin(Math.PI * x * 0.9) / (Math.PI * x * 0.9)
  return 0.45 * sinc * (0.5 + 0.5 * Math.cos((Math.PI * (i - 31)) / 32))
})

export interface Path {
  /** Frames at the file's rate; a multiple of one half. */
  readonly lateSamples: number
  readonly gain: number
  /** Level of this path's own noise. */
  readonly noise: number
}

/** The same performance as each path records it. */
export const recorded = (
  paths: readonly Path[],
  seconds: number,
  sampleRateHz: number,
  seed: number,
): Float64Array[] => {
  const frames = Math.round(seconds * sampleRateHz)
  const source = performance(2 * frames, 2 * sampleRateHz, seed)
  return paths.map(({ lateSamples, gain, noise }, index) => {
    const own = noiseFrom(seed + 100 + index)
    return Float64Array.from({ length: frames }, (_, frame) => {
      let sum = 0
      halfBand.forEach((tap, i) => {
        sum += tap * (source[2 * frame - 2 * lateSamples + i - 31] ?? 0)
      })
      return gain * sum + noise * own()
    })
  })
}
