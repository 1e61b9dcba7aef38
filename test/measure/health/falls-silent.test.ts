import { describe, expect, test } from 'vitest'
import { fallenSilent } from '../../../src/measure/health/falls-silent.js'
import { measureSession } from '../../../src/measure/measure-session.js'
import { measureTasks } from '../../../src/measure/tasks.js'
import { inProcess } from '../../../src/terms/task.js'
import { tune } from '../../corpus/sounds.js'
import { delayed } from '../../corpus/spectrum.js'
import { fileSource, group, FIXTURE_RATE_HZ as RATE, session } from '../session-fixture.js'

const STEP = 2400

/** A level curve: [seconds, level in dBFS] one after the other. */
const levels = (...parts: readonly (readonly [number, number])[]) => ({
  stepFrames: STEP,
  levelsDbfs: Float32Array.from(
    parts.flatMap(([seconds, level]) => Array<number>((seconds * 48_000) / STEP).fill(level)),
  ),
})
const ask = (own: ReturnType<typeof levels>, other: ReturnType<typeof levels>, offset = 0) =>
  fallenSilent(own, other, offset, 48_000)

describe('a track that falls silent', () => {
  test('is told with the moment and with what it missed, from 10 s on', () => {
    const plays = levels([60, -20])
    expect(ask(levels([40, -25], [20, -90]), plays)).toEqual({ fromSeconds: 40, unheardSeconds: 20 })
    expect(ask(levels([40, -25], [20, -200]), plays)).toEqual({ fromSeconds: 40, unheardSeconds: 20 })
    expect(ask(levels([50, -25], [10, -90]), plays)).not.toBeNull()
    expect(ask(levels([50.1, -25], [9.9, -90]), plays)).toBeNull()
  })

  test('a rest, a gap that ends, an end that the other has too, and a track that is heard seldom are none', () => {
    expect(ask(levels([40, -25], [20, -90]), levels([40, -20], [20, -60]))).toBeNull()
    expect(ask(levels([20, -25], [30, -90], [10, -25]), levels([60, -20]))).toBeNull()
    expect(ask(levels([40, -25]), levels([60, -20]))).toBeNull()
    expect(ask(levels([30, -90], [4, -25], [26, -90]), levels([60, -20]))).toBeNull()
    expect(ask(levels([60, -200]), levels([60, -20]))).toBeNull()
  })

  test('a room that still hears something 40 dB down has not fallen silent', () => {
    expect(ask(levels([40, -20], [20, -60]), levels([60, -20]))).toBeNull()
  })

  test('a file that starts later is compared at the same time', () => {
    const own = levels([40, -25], [20, -90])
    const other = levels([60, -20], [30, -90])
    expect(ask(own, other)).toMatchObject({ unheardSeconds: 20 })
    // It starts 12 s later: its 40 s are the other's 52, which then plays for 8 s more.
    expect(ask(own, other, 12 * 48_000)).toBeNull()
  })
})

test('in a song: the source is named, the others are not', async () => {
  const played = tune(24 * RATE, RATE, 'cable', {
    ...{ lowestHz: 110, brightness: 6, attack: 0.5, stepSeconds: 0.3, holdSeconds: 0.6, inharmonicity: 1e-4 },
  })
  const late = delayed(played, 50)
  const pulled = late.map((v, n) => (n < 12 * RATE ? v : 0))
  const song = await measureSession(
    session([
      group('g', 'a', [fileSource('a', [played]), fileSource('b', [late]), fileSource('pulled', [pulled])]),
    ]),
    inProcess(measureTasks),
  )
  const told = song.warnings.filter(({ code }) => code === 'FALLS_SILENT')
  expect(told.map(({ source }) => source)).toEqual(['pulled'])
  expect(told[0]?.message).toMatch(/^Silent from 0:12 to its end, while a plays for 0:1[12]\./)
})
