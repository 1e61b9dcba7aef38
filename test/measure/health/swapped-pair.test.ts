import { describe, expect, test } from 'vitest'
import { sidesByName } from '../../../src/measure/health/side-words.js'
import { measureSession } from '../../../src/measure/measure-session.js'
import { measureTasks } from '../../../src/measure/tasks.js'
import { inProcess } from '../../../src/terms/task.js'
import { whiteNoise } from '../../corpus/random.js'
import { rollOff } from '../../corpus/responses.js'
import { delayed, through } from '../../corpus/spectrum.js'
import { fileSource, group, FIXTURE_RATE_HZ as RATE, session } from '../session-fixture.js'

const SECONDS = 4
/** Drums: strokes of noise at times of their own. */
const drum = (seed: string, every: number, start: number): Float64Array =>
  through(
    whiteNoise(SECONDS * RATE, seed).map((v, n) =>
      n < start ? 0 : 0.2 * v * Math.exp(-((n - start) % every) / 2500),
    ),
    RATE,
    4800,
    rollOff(5000),
  )
const kick = drum('kick', 24000, 0)
const low = drum('low tom', 31000, 9000)
const high = drum('high tom', 27000, 17000)

const mix = (seed: string, ...parts: readonly (readonly [Float64Array, number, number])[]): Float64Array => {
  const noise = whiteNoise(kick.length, seed)
  const heard = parts.map(([signal, lag, gain]) => delayed(signal, lag).map(v => gain * v))
  return noise.map((v, n) => 0.001 * v + heard.reduce((sum, part) => sum + part[n]!, 0))
}

// The low tom stands on the left, the high tom on the right; spots bleed into each other.
const spotLow = mix('s1', [low, 10, 1], [kick, 120, 0.1], [high, 90, 0.1])
const spotHigh = mix('s2', [high, 10, 1], [kick, 130, 0.1], [low, 90, 0.1])
const spaced = {
  left: mix('o1', [kick, 160, 0.4], [low, 130, 0.5], [high, 190, 0.35]),
  right: mix('o2', [kick, 162, 0.4], [low, 190, 0.35], [high, 130, 0.5]),
}
// Two microphones at one place: level alone tells the side.
const coincident = {
  left: mix('x1', [kick, 160, 0.4], [low, 150, 0.5], [high, 150, 0.25]),
  right: mix('x2', [kick, 160, 0.4], [low, 150, 0.25], [high, 150, 0.5]),
}

const swapped = async (
  sources: Parameters<typeof group>[2],
): Promise<{ source: string | null; message: string }[]> => {
  const song = await measureSession(session([group('kit', 'kick', sources)]), inProcess(measureTasks))
  return song.warnings
    .filter(w => w.code === 'CHANNELS_SWAPPED')
    .map(({ source, message }) => ({ source, message }))
}
const kickSource = () => fileSource('kick', [mix('k', [kick, 0, 1], [low, 120, 0.1], [high, 130, 0.1])])

describe.each([
  ['spaced', spaced],
  ['coincident', coincident],
] as const)('a %s pair', (_, { left, right }) => {
  test('the wrong way round against its spots is told, with what was heard', async () => {
    const told = await swapped([
      kickSource(),
      fileSource('tom left', [spotLow]),
      fileSource('tom right', [spotHigh]),
      fileSource('overheads', [right, left]),
    ])
    expect(told.map(t => t.source)).toEqual(['overheads'])
    expect(told[0]!.message).toMatch(/tom left on its right and tom right on its left/)
  })

  test('the right way round is not', async () => {
    const told = await swapped([
      kickSource(),
      fileSource('tom-l', [spotLow]),
      fileSource('tom-r', [spotHigh]),
      fileSource('overheads', [left, right]),
    ])
    expect(told).toEqual([])
  })
})

test('without a spot of a known side nothing is told, whatever the order', async () => {
  expect(
    await swapped([
      kickSource(),
      fileSource('low', [spotLow]),
      fileSource('overheads', [spaced.right, spaced.left]),
    ]),
  ).toEqual([])
})

test('two pairs that contradict each other: the second is told, with the first', async () => {
  const told = await swapped([
    kickSource(),
    fileSource('overheads', [spaced.left, spaced.right]),
    fileSource('toms', [spotHigh, spotLow]),
  ])
  expect(told.map(t => t.source)).toEqual(['toms'])
  expect(told[0]!.message).toMatch(/the right of overheads on its left/)
})

test('sides are read from whole words; a lone letter needs its twin', () => {
  expect(
    sidesByName(['tom-left', 'Right Room', 'oh l', 'oh r', 'vocal l', 'left or right', 'lead', 'r2d']),
  ).toEqual(['left', 'right', 'left', 'right', null, null, null, null])
})
