import { recorded } from '../../end-to-end/setting/sound.js'
import { chunk, integers, plainFormat, riff } from '../../wave/wave-bytes.js'
import type { RobustArea } from '../case.js'
import { delivered } from '../delivered.js'
import { type Ground, RECIPE } from '../ground.js'
import { readFileSync, rmSync, truncateSync } from '../system.js'
import { emptyHeader, frames, mono, stereo } from '../waves.js'

const CHECK = 'sumwell check song.yaml --json'
const MEASURE = 'sumwell measure song.yaml --json'
const RENDER = 'sumwell render song.yaml --no-audio --json'
const DELIVERED = /^(song|stems(\/.*)?|song\.lock\.yaml)$/
const RATE_HZ = 48_000
const SECOND = RATE_HZ

/** The second recording, made sample by sample. */
const bottom =
  (count: number, at: (frame: number) => number) =>
  (ground: Ground): void => {
    ground.put('audio/bottom.wav', mono(frames(count, at)))
  }
/** The sound of a recording of the good song, in [-1, 1). */
const soundOf = (ground: Ground, name: string): Float64Array => {
  const bytes = readFileSync(ground.path(`audio/${name}.wav`))
  return Float64Array.from(
    { length: (bytes.length - 44) / 3 },
    (_, n) => bytes.readIntLE(44 + 3 * n, 3) / 2 ** 23,
  )
}
const changed = (
  ground: Ground,
  name: string,
  change: (value: number, frame: number, all: Float64Array) => number,
): void => {
  const sound = soundOf(ground, name)
  ground.put(`audio/${name}.wav`, mono(frames(sound.length, n => change(sound[n]!, n, sound))))
}
/** A stretch of the same performance with other lags, as long as is asked for. */
const performed = (seconds: number, bottomLate: number): readonly [Float64Array, Float64Array] => {
  const [top, other] = recorded(
    [
      { lateSamples: 0, gain: 1, noise: 1e-4 },
      { lateSamples: bottomLate, gain: 0.6, noise: 1e-4 },
    ],
    seconds,
    RATE_HZ,
    12,
  )
  return [top!, other!]
}
const put = (ground: Ground, name: string, sound: Float64Array): void => {
  ground.put(`audio/${name}.wav`, mono(frames(sound.length, n => sound[n]!)))
}

/** So many seconds of the performance, of which the second recording is changed sample by sample. */
const withBottom =
  (seconds: number, late: number, at: (other: Float64Array, frame: number) => number) =>
  (ground: Ground): void => {
    const [top, other] = performed(seconds, late)
    put(ground, 'top', top)
    put(
      ground,
      'bottom',
      other.map((_, n) => at(other, n)),
    )
  }

/** The second recording in two pieces: so many seconds with one lag, and from then on, or later, with another. */
const inPieces =
  (lates: readonly [number, number], from: number, at: number) =>
  (ground: Ground): void => {
    const [top, before] = performed(8, lates[0])
    const [, after] = performed(8, lates[1])
    put(ground, 'top', top)
    put(ground, 'one', before.subarray(0, from * SECOND))
    put(ground, 'two', after.subarray(at * SECOND))
    ground.recipe(
      'bottom: audio/bottom.wav',
      `bottom: { pieces: [audio/one.wav, { file: audio/two.wav, at: 0:0${at} }] }`,
    )
  }

/** Sound with something wrong in it: it is used, and told. */
export const sound: RobustArea = {
  name: 'sound',
  title: 'Sound',
  cases: [
    { what: 'silence', set: bottom(SECOND, () => 0), call: CHECK, exit: 0, codes: ['SILENT'] },
    {
      what: 'DC and nothing else',
      set: bottom(SECOND, () => 0.5),
      call: RENDER,
      exit: 0,
      codes: ['DC_OFFSET'],
      writes: DELIVERED,
    },
    {
      what: 'a square wave at full scale',
      set: bottom(SECOND, n => (n % 96 < 48 ? 1 : -1)),
      call: RENDER,
      exit: 0,
      codes: ['CLIPPED'],
      writes: DELIVERED,
    },
    {
      what: 'the reference is silent',
      set: g => g.put('audio/top.wav', mono(frames(SECOND, () => 0))),
      call: RENDER,
      exit: 0,
      codes: ['SILENT', 'NOT_SURE'],
      writes: DELIVERED,
    },
    {
      what: 'two files of noise that have nothing in common',
      set: bottom(SECOND, n => 0.3 * Math.sin(n * n * 0.37)),
      call: RENDER,
      exit: 0,
      codes: ['NOT_SURE'],
      writes: DELIVERED,
    },
    {
      what: 'one held note, which fits every period',
      set: g => {
        for (const [name, late] of [
          ['top', 0],
          ['bottom', 40],
        ] as const)
          g.put(
            `audio/${name}.wav`,
            mono(frames(SECOND, n => 0.3 * Math.sin((2 * Math.PI * 100 * (n - late)) / RATE_HZ))),
          )
      },
      call: RENDER,
      exit: 0,
      codes: ['NOT_SURE'],
      writes: DELIVERED,
    },
    {
      what: 'a channel of two that holds nothing',
      set: g =>
        g.put(
          'audio/bottom.wav',
          stereo(frames(2 * SECOND, n => (n % 2 === 0 ? 0.3 * Math.sin(n * 0.01) : 0))),
        ),
      call: CHECK,
      exit: 0,
      codes: ['DEAD_CHANNEL'],
    },
    {
      what: 'a recording 40 dB below the others',
      set: g => {
        changed(g, 'bottom', value => value * 0.01)
        g.put('audio/third.wav', readFileSync(g.path('audio/top.wav')))
        changed(g, 'third', (value, n, all) => 0.8 * value + 0.2 * (all[n - 40] ?? 0))
        g.recipe('bottom: audio/bottom.wav', 'bottom: audio/bottom.wav, third: audio/third.wav')
      },
      call: MEASURE,
      exit: 0,
      codes: ['LEVEL_FAR_OFF'],
    },
    {
      what: 'a recording of half the length',
      set: g => {
        const [top, other] = performed(6, 7)
        put(g, 'top', top)
        put(g, 'bottom', other.subarray(0, 3 * SECOND))
      },
      call: MEASURE,
      exit: 0,
      codes: ['LENGTH_DIFFERS'],
    },
    {
      what: 'the same sound under two names',
      set: g =>
        g.put(
          'audio/bottom.wav',
          riff(
            plainFormat(1, 1, RATE_HZ, 24),
            chunk('note', integers([1, 2], 3)),
            readFileSync(g.path('audio/top.wav')).subarray(36),
          ),
        ),
      call: MEASURE,
      exit: 0,
      codes: ['COPY_OF_ANOTHER'],
    },
    {
      what: 'a few samples that were dropped',
      set: g => {
        changed(g, 'bottom', (value, n) => (n > 26_000 && n < 26_060 ? 0 : value))
      },
      call: CHECK,
      exit: 0,
      codes: ['DROPPED_SAMPLES'],
    },
    {
      what: 'mains hum between the strokes',
      set: bottom(10 * SECOND, n => {
        const since = n % SECOND
        const stroke = 0.3 * Math.exp(-since / 2000) * Math.sin(since * 0.05)
        return (
          stroke +
          0.01 * Math.sin((2 * Math.PI * 50 * n) / RATE_HZ) +
          0.004 * Math.sin((2 * Math.PI * 150 * n) / RATE_HZ)
        )
      }),
      call: CHECK,
      exit: 0,
      codes: ['HUM'],
    },
    {
      what: 'a lag in the recipe that the sound contradicts',
      set: g => {
        g.recipe('bottom: audio/bottom.wav', 'bottom: { file: audio/bottom.wav, lag: 20 ms }')
      },
      call: MEASURE,
      exit: 0,
      codes: ['STATED_DIFFERS'],
    },
    {
      what: 'a distance of 10 m in the recipe for a lag of 5 cm',
      set: g => {
        g.recipe(
          'top: audio/top.wav, bottom: audio/bottom.wav',
          'top: { file: audio/top.wav, distance: 10 cm }, bottom: { file: audio/bottom.wav, distance: 10 m }',
        )
      },
      call: MEASURE,
      exit: 0,
      codes: ['DISTANCE_DIFFERS'],
    },
    {
      what: 'most recordings the other way round than the reference',
      set: g => {
        g.put('audio/third.wav', readFileSync(g.path('audio/bottom.wav')))
        changed(g, 'third', (value, n, all) => 0.8 * value + 0.2 * (all[n - 40] ?? 0))
        g.recipe('bottom: audio/bottom.wav', 'bottom: audio/bottom.wav, third: audio/third.wav')
      },
      call: MEASURE,
      exit: 0,
      codes: ['REFERENCE_POLARITY'],
    },
    {
      what: 'a stand that was moved in the middle of the take',
      set: g => {
        const [, far] = performed(8, 90)
        withBottom(8, 7, (near, n) => (n < 4 * SECOND ? near[n]! : far[n]!))(g)
      },
      call: MEASURE,
      exit: 0,
      codes: ['STEP'],
    },
    {
      what: 'a recorder whose clock runs 200 ppm off',
      set: withBottom(12, 7, (other, n) => {
        const at = n * 1.0002
        const whole = Math.floor(at)
        return (other[whole] ?? 0) * (1 - (at - whole)) + (other[whole + 1] ?? 0) * (at - whole)
      }),
      call: MEASURE,
      exit: 0,
      codes: ['DRIFT'],
    },
    {
      what: 'sound in the first frames that a move would push off the start',
      set: withBottom(2, 400, (other, n) => (n < 380 ? 0.3 * Math.sin(n * 0.05) : other[n]!)),
      call: RENDER,
      exit: 0,
      codes: ['HEAD_CUT'],
      writes: DELIVERED,
    },
    {
      what: 'a blend that would pass the ceiling',
      set: g => {
        for (const name of ['top', 'bottom'])
          changed(g, name, value => Math.max(-0.98, Math.min(0.98, value * 3)))
        g.recipe('{ top: 60, bottom: 40 }', '{ top: 12 dB, bottom: 0 dB }')
      },
      call: RENDER,
      exit: 0,
      codes: ['CEILING'],
      writes: DELIVERED,
    },
    {
      what: 'stems in the folder that this recipe does not make',
      set: g => {
        delivered(g)
        g.put('song.yaml', RECIPE.replace('{ snare: {', '{ snares: {'))
        rmSync(g.path('stems/handoff.md'))
      },
      call: RENDER,
      exit: 0,
      codes: ['OLD_STEMS'],
      writes: DELIVERED,
    },
    {
      what: 'two pieces of a recording with nothing between them',
      set: inPieces([7, 7], 3, 5),
      call: RENDER,
      exit: 0,
      codes: ['PIECES_GAP'],
      writes: DELIVERED,
    },
    {
      what: 'two pieces that only just meet, and move apart',
      set: inPieces([90, 7], 4, 4),
      call: RENDER,
      exit: 0,
      codes: ['PIECES_TOUCH'],
      writes: DELIVERED,
    },
    {
      what: 'three hours of nothing, as a file with holes',
      set: g => {
        const count = 3 * 3600 * 8000
        g.put('audio/bottom.wav', emptyHeader(count, 8000))
        truncateSync(g.path('audio/bottom.wav'), 44 + 3 * count)
        const top = soundOf(g, 'top')
        g.put(
          'audio/top.wav',
          mono(
            frames(8000, n => top[6 * n]!),
            8000,
          ),
        )
      },
      call: CHECK,
      exit: 0,
      codes: ['SILENT'],
    },
  ],
}
