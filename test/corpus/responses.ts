/** A linear path by its value at every frequency. */
export type Response = (frequencyHz: number) => readonly [re: number, im: number]

export const multiply =
  (...parts: readonly Response[]): Response =>
  f => {
    let re = 1
    let im = 0
    for (const part of parts) {
      const [a, b] = part(f)
      const next = re * a - im * b
      im = re * b + im * a
      re = next
    }
    return [re, im]
  }

export const gain =
  (factor: number): Response =>
  () => [factor, 0]

/** Pure delay in seconds. */
export const air =
  (seconds: number): Response =>
  f => [Math.cos(2 * Math.PI * f * seconds), -Math.sin(2 * Math.PI * f * seconds)]

const divide = (a: readonly [number, number], b: readonly [number, number]): readonly [number, number] => {
  const size = b[0] * b[0] + b[1] * b[1]
  return [(a[0] * b[0] + a[1] * b[1]) / size, (a[1] * b[0] - a[0] * b[1]) / size]
}

/** Analogue high-pass of 2nd order: a closed box (quality 0.7 … 1.2). */
export const highPass =
  (cornerHz: number, quality = Math.SQRT1_2): Response =>
  f => {
    const x = f / cornerHz
    return divide([-x * x, 0], [1 - x * x, x / quality])
  }

/** Butterworth high-pass of 4th order: a vented box. */
export const ventedBox = (cornerHz: number): Response =>
  multiply(highPass(cornerHz, 0.541196), highPass(cornerHz, 1.306563))

export const lowPass =
  (cornerHz: number, quality = Math.SQRT1_2): Response =>
  f => {
    const x = f / cornerHz
    return divide([1, 0], [1 - x * x, x / quality])
  }

/** First-order roll-off: a speaker heard from the side. */
export const rollOff =
  (cornerHz: number): Response =>
  f =>
    divide([1, 0], [1, f / cornerHz])

/** Bell of so many dB at a frequency: presence, cone break-up. */
export const bell = (middleHz: number, gainDb: number, quality: number): Response => {
  const a = 10 ** (gainDb / 40)
  return f => {
    const x = f / middleHz
    return divide([1 - x * x, (x * a) / quality], [1 - x * x, x / (a * quality)])
  }
}

/** First-order shelf below a corner: nearness of a pressure-gradient microphone. */
export const lowShelf = (cornerHz: number, gainDb: number): Response => {
  const g = 10 ** (gainDb / 20)
  return f => divide([g, f / cornerHz], [1, f / cornerHz])
}

/** Phases are turned on from the frequency before where the step is the same, and computed anew after so many steps. */
const STEPS = 512

/** Copies of the sound: the direct one is not among them. Quick for frequencies in even steps. */
export const reflections = (list: readonly { seconds: number; factor: number }[]): Response => {
  const re = new Float64Array(list.length)
  const im = new Float64Array(list.length)
  const turnRe = new Float64Array(list.length)
  const turnIm = new Float64Array(list.length)
  let last = Number.NaN
  let step = Number.NaN
  let steps = 0
  return f => {
    const moved = f - last
    if (Math.abs(moved - step) <= 1e-9 * step && steps < STEPS) {
      steps++
      for (let i = 0; i < list.length; i++) {
        const next = re[i]! * turnRe[i]! - im[i]! * turnIm[i]!
        im[i] = re[i]! * turnIm[i]! + im[i]! * turnRe[i]!
        re[i] = next
      }
    } else {
      const isNewStep = !(Math.abs(moved - step) <= 1e-9 * step)
      list.forEach(({ seconds, factor }, i) => {
        re[i] = factor * Math.cos(2 * Math.PI * f * seconds)
        im[i] = -factor * Math.sin(2 * Math.PI * f * seconds)
        if (!isNewStep) return
        turnRe[i] = Math.cos(2 * Math.PI * moved * seconds)
        turnIm[i] = -Math.sin(2 * Math.PI * moved * seconds)
      })
      step = moved
      steps = 0
    }
    last = f
    let sumRe = 1
    let sumIm = 0
    for (let i = 0; i < list.length; i++) {
      sumRe += re[i]!
      sumIm += im[i]!
    }
    return [sumRe, sumIm]
  }
}
