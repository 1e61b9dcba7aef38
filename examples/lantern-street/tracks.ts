import * as portable from '../../src/terms/portable.js'
import {
  convolve,
  directResponse,
  framesOfAir,
  metresBetween,
  type Point,
  type Room,
  roomResponse,
} from './air.js'
import { bassBridgeForce, FRAMES, guitarBridgeForce, snare } from './instruments.js'
import { addInto, type Biquad, highPass, lowPass, noise, normalise, peak, RATE, through } from './sound.js'

/** The seven recordings of "Lantern Street": who stands where, what each pickup and microphone hears. */

export interface Track {
  readonly group: string
  readonly source: string
  readonly file: string
  readonly audio: Float64Array
  /** What was put in, for truth.json: air path behind the group's reference, and which way round. */
  readonly lateFrames: number
  readonly metres: number
  readonly polarity: 'normal' | 'inverted'
  readonly humHz: number | null
  readonly clipped: boolean
}

const room: Room = { size: [6.2, 4.8, 2.9], reflection: 0.62, rt60Seconds: 0.42 }
const bassAt: Point = [1.5, 2, 0.55]
const snareAt: Point = [4.9, 1.1, 0.65]
const guitarAt: Point = [3.1, 4.1, 0.8]
/** Metres from the bass to its microphone at the bridge: somebody walked past the stand between takes 4 and 5. */
const BRIDGE_METRES = { 4: 0.68, 5: 0.656 } as const
export type Take = keyof typeof BRIDGE_METRES
/** 2.6 m from the bass, across the room. */
const roomMicAt: Point = [
  1.5 + 2.6 * 0.92,
  2 + 2.6 * 0.36,
  0.55 + 2.6 * Math.sqrt(1 - 0.92 * 0.92 - 0.36 * 0.36),
]
const guitarMicAt: Point = [3.1, 4.1 - 0.35, 0.8]

const bassBody: readonly Biquad[] = [
  highPass(42),
  peak(63, 4, 5),
  peak(104, 5, 6),
  peak(176, 5, 4),
  peak(243, 6, -3),
  peak(395, 3, 3),
  peak(820, 2, -2),
  lowPass(4200, 0.55),
]
const guitarBody: readonly Biquad[] = [
  highPass(75),
  peak(102, 6, 6),
  peak(196, 6, 5),
  peak(410, 4, 2),
  peak(1300, 2, -3),
  lowPass(13_000, 0.6),
]
const bassPiezo: readonly Biquad[] = [highPass(26, 0.5), peak(1900, 1.6, 6), peak(4800, 2, 3)]
const guitarPiezo: readonly Biquad[] = [highPass(45, 0.6), peak(2600, 1.2, 5), peak(7000, 2, 3)]

const NOISE_DBFS = { pickup: -84, mic: -80, room: -76 } as const

const withFloor = (audio: Float64Array, kind: keyof typeof NOISE_DBFS, seed: string): Float64Array => {
  addInto(audio, noise(FRAMES, seed), portable.exp((NOISE_DBFS[kind] * Math.LN10) / 20))
  return audio
}

/** Adds what leaks in from other instruments, `db` below the track's own peak after it was brought to 1. */
const withBleed = (
  own: Float64Array,
  leaks: readonly (readonly [Float64Array, number])[],
  peakDbfs: number,
): Float64Array => {
  normalise(own, 0)
  for (const [leak, db] of leaks) {
    normalise(leak, db)
    addInto(own, leak, 1)
  }
  normalise(own, peakDbfs)
  return own
}

const addHum = (audio: Float64Array, hz: number, peakDbfs: number): void => {
  const level = portable.exp((peakDbfs * Math.LN10) / 20)
  const harmonics = [
    [1, 1],
    [2, 0.35],
    [3, 0.5],
    [5, 0.22],
  ] as const
  for (let n = 0; n < audio.length; n++)
    for (const [order, share] of harmonics)
      audio[n]! += level * share * portable.sin((2 * Math.PI * hz * order * n) / RATE + order)
}

export const makeTracks = (take: Take): readonly Track[] => {
  const bridgeMicAt: Point = [1.5 + BRIDGE_METRES[take], 2, 0.55]
  const bassForce = bassBridgeForce()
  const bassAir = through(bassForce, bassBody)
  const guitarForce = guitarBridgeForce()
  const guitarAir = through(guitarForce, guitarBody)
  const { stroke, wires } = snare()
  const snareAir = Float64Array.from(stroke)
  addInto(snareAir, wires, 0.5)

  const reach = (from: Point, to: Point, sound: Float64Array, seed: string) =>
    convolve(sound, roomResponse(room, from, to, seed))
  const track = (
    group: string,
    source: string,
    audio: Float64Array,
    metres: number,
    more: Partial<Track> = {},
  ): Track => ({
    group,
    source,
    audio,
    metres,
    file: `${group === 'snare' ? 'snare' : group === 'upright-bass' ? 'bass' : 'guitar'}-${source}.wav`,
    lateFrames: framesOfAir(metres),
    polarity: 'normal',
    humHz: null,
    clipped: false,
    ...more,
  })

  const piezo = withFloor(withBleed(through(bassForce, bassPiezo), [], -9), 'pickup', 'floor piezo')

  const bridge = withFloor(
    withBleed(
      convolve(bassAir, roomResponse(room, bassAt, bridgeMicAt, 'tail bridge')),
      [
        [reach(snareAt, bridgeMicAt, snareAir, 'tail snare bridge'), -27],
        [reach(guitarAt, bridgeMicAt, guitarAir, 'tail guitar bridge'), -36],
      ],
      -10,
    ),
    'mic',
    'floor bridge',
  )

  const roomSound = withFloor(
    withBleed(
      reach(bassAt, roomMicAt, bassAir, 'tail room'),
      [
        [reach(snareAt, roomMicAt, snareAir, 'tail snare room'), -12],
        [reach(guitarAt, roomMicAt, guitarAir, 'tail guitar room'), -16],
      ],
      -14,
    ),
    'room',
    'floor room',
  )
  for (let n = 0; n < roomSound.length; n++) roomSound[n] = -roomSound[n]!

  // Lower head: the same stroke pushes towards the lower microphone, so it arrives the other way round; the wires sit there.
  const topMetres = 0.06
  const bottomMetres = 0.2
  const topOwn = convolve(through(stroke, [peak(3500, 1.5, 3)]), directResponse(topMetres))
  addInto(topOwn, convolve(wires, directResponse(bottomMetres)), 0.015)
  const top = withFloor(
    withBleed(topOwn, [[reach(bassAt, snareAt, bassAir, 'tail bass snare'), -40]], 2.6),
    'mic',
    'floor top',
  )
  let clipped = false
  for (let n = 0; n < top.length; n++) {
    if (Math.abs(top[n]!) >= 1) clipped = true
    top[n] = Math.max(-1, Math.min(1 - 1 / 8_388_608, top[n]!))
  }
  const bottomOwn = convolve(
    through(stroke, [peak(900, 1, -3), lowPass(12_000, 0.6)]),
    directResponse(bottomMetres),
  )
  for (let n = 0; n < bottomOwn.length; n++) bottomOwn[n] = -bottomOwn[n]!
  addInto(bottomOwn, convolve(wires, directResponse(topMetres)), 0.05)
  const bottom = withFloor(
    withBleed(bottomOwn, [[reach(bassAt, snareAt, bassAir, 'tail bass snare low'), -38]], -8),
    'mic',
    'floor bottom',
  )

  const pickup = withFloor(
    withBleed(through(guitarForce, guitarPiezo), [], -10),
    'pickup',
    'floor guitar pickup',
  )
  addHum(pickup, 50, -63)
  const guitarMic = withFloor(
    withBleed(
      convolve(guitarAir, roomResponse(room, guitarAt, guitarMicAt, 'tail guitar')),
      [
        [reach(snareAt, guitarMicAt, snareAir, 'tail snare guitar'), -26],
        [reach(bassAt, guitarMicAt, bassAir, 'tail bass guitar'), -30],
      ],
      -9,
    ),
    'mic',
    'floor guitar mic',
  )

  return [
    track('upright-bass', 'piezo', piezo, 0),
    track('upright-bass', 'bridge', bridge, metresBetween(bassAt, bridgeMicAt)),
    track('upright-bass', 'room', roomSound, metresBetween(bassAt, roomMicAt), { polarity: 'inverted' }),
    track('snare', 'top', top, 0, { clipped }),
    track('snare', 'bottom', bottom, bottomMetres - topMetres, { polarity: 'inverted' }),
    track('acoustic-guitar', 'pickup', pickup, 0, { humHz: 50 }),
    track('acoustic-guitar', 'mic', guitarMic, metresBetween(guitarAt, guitarMicAt)),
  ]
}
