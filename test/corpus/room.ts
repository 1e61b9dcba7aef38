import { gaussian, random } from './random.js'

/** Sound of a shoebox room behind the direct sound: image sources up to the third order, then a diffuse tail. */
export interface Room {
  readonly reflections: readonly { readonly seconds: number; readonly factor: number }[]
  /** Impulse response of the tail, frames; it begins with the direct sound at 0. */
  readonly tail: Float64Array
}

const SPEED = 343.2

/**
 * `directness`: level of the direct sound is 1; the strongest early reflection is brought to `strongest`, and the tail to an
 * energy of `tailDb` against the direct sound.
 */
export const room = (
  seed: string,
  sampleRateHz: number,
  options: { rt60Seconds: number; distanceMetres: number; strongest: number; tailDb: number },
): Room => {
  const u = random(`room ${seed}`)
  const size = [3 + 6 * u(), 3 + 5 * u(), 2.3 + 1.7 * u()]
  const place = size.map(s => s * (0.25 + 0.5 * u()))
  const angle = 2 * Math.PI * u()
  const away = [Math.cos(angle), Math.sin(angle), 0.2 * (u() - 0.5)]
  const mic = place.map((p, i) =>
    Math.min(size[i]! - 0.3, Math.max(0.3, p + away[i]! * options.distanceMetres)),
  )
  const direct = Math.max(0.05, distance(place, mic))
  const wall = 0.55 + 0.35 * u()
  const found: { seconds: number; factor: number }[] = []
  for (let x = -2; x <= 2; x++)
    for (let y = -2; y <= 2; y++)
      for (let z = -2; z <= 2; z++) {
        const order = Math.abs(x) + Math.abs(y) + Math.abs(z)
        if (order === 0 || order > 3) continue
        const image = [x, y, z].map(
          (n, i) => 2 * Math.floor((n + 1) / 2) * size[i]! + (n % 2 === 0 ? 1 : -1) * place[i]!,
        )
        const far = distance(image, mic)
        found.push({ seconds: (far - direct) / SPEED, factor: (direct / far) * wall ** order })
      }
  const early = found.filter(r => r.seconds > 0.0003).sort((a, b) => a.seconds - b.seconds)
  const strongest = Math.max(...early.map(r => r.factor))
  const scale = options.strongest / strongest
  const frames = Math.ceil(options.rt60Seconds * sampleRateHz)
  const noise = gaussian(`tail ${seed}`)
  const tail = new Float64Array(frames)
  const start = Math.round(0.012 * sampleRateHz)
  let energy = 0
  for (let n = start; n < frames; n++) {
    tail[n] = noise() * Math.exp((-6.9078 * n) / frames)
    energy += tail[n]! * tail[n]!
  }
  const factor = Math.sqrt(10 ** (options.tailDb / 10) / energy)
  return {
    reflections: early.map(r => ({ seconds: r.seconds, factor: r.factor * scale })),
    tail: tail.map(v => v * factor),
  }
}

const distance = (a: readonly number[], b: readonly number[]): number =>
  Math.hypot(...a.map((v, i) => v - b[i]!))
