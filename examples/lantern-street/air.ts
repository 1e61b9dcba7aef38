import { RealFft } from '../../src/signal/fft.js'
import * as portable from '../../src/terms/portable.js'
import { speedOfSound } from '../../src/terms/units.js'
import { addInto, highPass, lowPass, noise, RATE, through } from './sound.js'

/** Paths through air: exact fractional delay, a shoebox room by mirror images with a decaying tail, convolution. */

export type Point = readonly [x: number, y: number, z: number]

export const TEMPERATURE_CELSIUS = 21

export const metresBetween = (a: Point, b: Point): number =>
  portable.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2])
export const framesOfAir = (metres: number): number => (metres / speedOfSound(TEMPERATURE_CELSIUS)) * RATE

const REACH = 48

/** Adds `gain` times a band-limited impulse at the fractional position into an impulse response (Hann-windowed sinc). */
const addImpulse = (response: Float64Array, atFrame: number, gain: number): void => {
  const centre = Math.floor(atFrame)
  for (let n = Math.max(0, centre - REACH); n <= Math.min(response.length - 1, centre + REACH); n++) {
    const x = n - atFrame
    if (Math.abs(x) >= REACH) continue
    const sinc = x === 0 ? 1 : portable.sin(Math.PI * x) / (Math.PI * x)
    response[n]! += gain * sinc * (0.5 + 0.5 * portable.cos((Math.PI * x) / REACH))
  }
}

/** The direct path alone: `metres` of air, level by 1/distance, told against 1 m. */
export const directResponse = (metres: number): Float64Array => {
  const response = new Float64Array(Math.ceil(framesOfAir(metres)) + REACH + 2)
  addImpulse(response, framesOfAir(metres), 1 / metres)
  return response
}

export interface Room {
  readonly size: Point
  /** Share of the pressure that a wall gives back. */
  readonly reflection: number
  readonly rt60Seconds: number
}

/** Direct path, mirror images to the third order (each reflection darker), and a diffuse tail from 30 ms on. */
export const roomResponse = (room: Room, from: Point, to: Point, seed: string): Float64Array => {
  const frames = Math.round(room.rt60Seconds * 1.1 * RATE)
  const orders = [0, 1, 2, 3].map(() => new Float64Array(frames))
  const reach = [-2, -1, 0, 1, 2] as const
  for (const i of reach)
    for (const j of reach)
      for (const k of reach) {
        const order = Math.abs(i) + Math.abs(j) + Math.abs(k)
        const buffer = orders[order]
        if (buffer === undefined) continue
        const mirror = [i, j, k].map(
          (n, axis) => n * room.size[axis]! + (n % 2 === 0 ? from[axis]! : room.size[axis]! - from[axis]!),
        )
        const metres = metresBetween(mirror as unknown as Point, to)
        addImpulse(buffer, framesOfAir(metres), portable.exp(order * portable.log(room.reflection)) / metres)
      }
  const response = orders[0]!
  orders.slice(1).forEach((buffer, index) => {
    addInto(response, through(buffer, [lowPass(9000 / (index + 1.4), 0.6)]), 1)
  })
  const tail = through(noise(frames, seed), [highPass(90), lowPass(3800, 0.6)])
  const onset = 0.03 * RATE
  const distance = metresBetween(from, to)
  for (let n = 0; n < frames; n++) {
    const rise = Math.min(1, Math.max(0, (n - framesOfAir(distance) - onset) / (0.02 * RATE)))
    response[n]! += tail[n]! * rise * 0.011 * portable.exp((-6.9078 * n) / (room.rt60Seconds * RATE))
  }
  return response
}

/** Linear convolution by overlapping transforms; the result is as long as the sound (what rings on past its end is cut). */
export const convolve = (sound: Float64Array, response: Float64Array): Float64Array => {
  const size = 65_536
  const step = size - response.length
  const fft = new RealFft(size)
  const spectrumOf = (values: Float64Array): Float64Array => {
    const padded = new Float64Array(size)
    padded.set(values)
    const spectrum = new Float64Array(size + 2)
    fft.forward(padded, spectrum)
    return spectrum
  }
  const filter = spectrumOf(response)
  const out = new Float64Array(sound.length)
  const product = new Float64Array(size + 2)
  const back = new Float64Array(size)
  for (let start = 0; start < sound.length; start += step) {
    const block = spectrumOf(sound.subarray(start, start + step))
    for (let k = 0; k < size + 2; k += 2) {
      product[k] = block[k]! * filter[k]! - block[k + 1]! * filter[k + 1]!
      product[k + 1] = block[k]! * filter[k + 1]! + block[k + 1]! * filter[k]!
    }
    fft.inverse(product, back)
    addInto(out, back, 1, start)
  }
  return out
}
