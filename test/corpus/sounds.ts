import { gaussian, random } from './random.js'

/** Synthetic sounds for cases in which real recordings do not give what is wanted. All at `rateHz`, seeded. */

/** A plucked or struck note: harmonics that die away, the higher the faster, with an attack of noise. */
export const note = (
  out: Float64Array,
  startFrame: number,
  rateHz: number,
  sound: {
    frequencyHz: number
    seconds: number
    level: number
    brightness: number
    attack: number
    seed: string
    inharmonicity?: number
  },
): void => {
  const u = random(`note ${sound.seed}`)
  const noise = gaussian(`attack ${sound.seed}`)
  const frames = Math.min(out.length - startFrame, Math.round(sound.seconds * rateHz))
  const partials = Math.max(1, Math.min(40, Math.floor((0.45 * rateHz) / sound.frequencyHz)))
  for (let p = 1; p <= partials; p++) {
    const stretch = Math.sqrt(1 + (sound.inharmonicity ?? 0) * p * p)
    const omega = (2 * Math.PI * sound.frequencyHz * p * stretch) / rateHz
    const size = (sound.level * Math.exp(-(p - 1) / sound.brightness)) / Math.sqrt(p)
    if (size < 1e-4 * sound.level) continue
    const decay = (1 + 0.15 * p) / (0.35 * sound.seconds * rateHz)
    const phase = 2 * Math.PI * u()
    // size exp(-decay n) sin(omega n + phase), by turning a pointer: ten times as fast, and the same to 1e-12.
    const turnRe = Math.exp(-decay) * Math.cos(omega)
    const turnIm = Math.exp(-decay) * Math.sin(omega)
    let re = size * Math.cos(phase)
    let im = size * Math.sin(phase)
    const risen = Math.min(frames, Math.ceil(0.003 * rateHz))
    for (let n = 0; n < frames; n++) {
      const rise = n < risen ? Math.min(1, n / (0.003 * rateHz)) : 1
      out[startFrame + n] = out[startFrame + n]! + rise * im
      const next = re * turnRe - im * turnIm
      im = re * turnIm + im * turnRe
      re = next
    }
  }
  const hit = Math.min(frames, Math.round(0.012 * rateHz))
  for (let n = 0; n < hit; n++) {
    out[startFrame + n] =
      out[startFrame + n]! + sound.attack * sound.level * noise() * Math.exp(-n / (0.003 * rateHz))
  }
}

/** A drum: a falling tone and noise. The same seed is the same sample every time. */
export const drum = (
  out: Float64Array,
  startFrame: number,
  rateHz: number,
  sound: { pitchHz: number; tone: number; noise: number; seconds: number; level: number; seed: string },
): void => {
  const hiss = gaussian(`drum ${sound.seed}`)
  const frames = Math.min(out.length - startFrame, Math.round(4 * sound.seconds * rateHz))
  let phase = 0
  let last = 0
  for (let n = 0; n < frames; n++) {
    const t = n / rateHz
    phase += (2 * Math.PI * sound.pitchHz * (1 + 1.5 * Math.exp(-t / 0.02))) / rateHz
    const white = hiss()
    const bright = white - 0.6 * last
    last = white
    out[startFrame + n] =
      out[startFrame + n]! +
      sound.level *
        (sound.tone * Math.exp(-t / sound.seconds) * Math.sin(phase) +
          sound.noise * Math.exp((-1.6 * t) / sound.seconds) * bright)
  }
}

const SCALE = [0, 2, 3, 5, 7, 8, 10, 12]

/** A line of notes on a loose grid. */
export const tune = (
  frames: number,
  rateHz: number,
  seed: string,
  style: {
    lowestHz: number
    brightness: number
    attack: number
    stepSeconds: number
    holdSeconds: number
    tight?: boolean
    inharmonicity?: number
  },
): Float64Array => {
  const u = random(`tune ${seed}`)
  const out = new Float64Array(frames)
  const step = style.stepSeconds * rateHz
  for (let i = 0; i * step < frames; i++) {
    if (u() < 0.2) continue
    const loose = style.tight === true ? 0 : 0.02 * rateHz * u()
    const start = Math.round(i * step + loose)
    if (start >= frames) break
    note(out, start, rateHz, {
      frequencyHz: style.lowestHz * 2 ** (SCALE[Math.floor(u() * SCALE.length)]! / 12),
      seconds: style.holdSeconds * (0.6 + 0.8 * u()),
      level: 0.1 * (0.4 + 0.6 * u()),
      brightness: style.brightness,
      attack: style.attack,
      seed: `${seed} ${i}`,
      inharmonicity: style.inharmonicity ?? 0,
    })
  }
  return out
}

/** A drum pattern of so many steps, repeated exactly or with changing levels. */
export const groove = (
  frames: number,
  rateHz: number,
  seed: string,
  style: {
    stepSeconds: number
    steps: number
    pitchHz: number
    tone: number
    noise: number
    seconds: number
    dynamics: number
    pattern: string
  },
): Float64Array => {
  const hits = random(`pattern ${style.pattern}`)
  const pattern = Array.from({ length: style.steps }, () => hits() < 0.45)
  if (!pattern.includes(true)) pattern[0] = true
  const u = random(`groove ${seed}`)
  const out = new Float64Array(frames)
  for (let i = 0; i * style.stepSeconds * rateHz < frames; i++) {
    const level = 1 - style.dynamics * u()
    if (!pattern[i % style.steps]!) continue
    drum(out, Math.round(i * style.stepSeconds * rateHz), rateHz, { ...style, level: 0.2 * level, seed })
  }
  return out
}
