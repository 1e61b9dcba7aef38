import { describe, expect, test } from 'vitest'
import { measureSession } from '../../../src/measure/measure-session.js'
import { measureTasks } from '../../../src/measure/tasks.js'
import { inProcess } from '../../../src/terms/task.js'
import { whiteNoise } from '../../corpus/random.js'
import { tune } from '../../corpus/sounds.js'
import { delayed } from '../../corpus/spectrum.js'
import { fileSource, group, FIXTURE_RATE_HZ as RATE, session } from '../session-fixture.js'

const played = tune(6 * RATE, RATE, 'across', {
  ...{ lowestHz: 110, brightness: 6, attack: 0.5, stepSeconds: 0.3, holdSeconds: 0.6, inharmonicity: 1e-4 },
})
const hiss = (level: number, seed: string): Float64Array =>
  whiteNoise(played.length, seed).map(v => level * v)
const path = (lag: number, seed: string, gain = 1): Float64Array => {
  const noise = hiss(1e-4, seed)
  return delayed(played, lag).map((v, n) => gain * (v + noise[n]!))
}
const warningsOf = async (sources: Parameters<typeof group>[2]): Promise<string[]> => {
  const song = await measureSession(session([group('g', 'a', sources)]), inProcess(measureTasks))
  return song.warnings.map(w => `${w.code} ${w.source}`)
}

describe('level against the group', () => {
  test('30 dB and more under the middle is told, less is not', async () => {
    const a = fileSource('a', [path(0, 'a')])
    const b = fileSource('b', [path(30, 'b')])
    const told = await warningsOf([a, b, fileSource('low', [path(60, 'low', 0.025)])])
    expect(told).toContain('LEVEL_FAR_OFF low')
    expect(told.filter(w => w.startsWith('LEVEL_FAR_OFF'))).toHaveLength(1)
    const quiet = await warningsOf([a, b, fileSource('quiet', [path(60, 'quiet', 0.05)])])
    expect(quiet.filter(w => w.startsWith('LEVEL_FAR_OFF'))).toEqual([])
  })
})

describe('a copy of another', () => {
  test('is told whichever source it copies, at another gain too', async () => {
    const b = path(41.3, 'b')
    const told = await warningsOf([
      fileSource('a', [path(0, 'a')]),
      fileSource('b', [b]),
      fileSource('c', [b.map(v => 0.5 * v)]),
      fileSource('d', [path(41.3, 'd')]),
    ])
    expect(told).toContain('COPY_OF_ANOTHER c')
    expect(told.filter(w => w.startsWith('COPY'))).toHaveLength(1)
  })

  test('one track in both channels of a pair, either way round; a pair that differs is none', async () => {
    const [left, other] = [path(20.4, 'left'), path(33.8, 'other')]
    const told = await warningsOf([
      fileSource('a', [path(0, 'a')]),
      fileSource('twice', [left, left]),
      fileSource('turned', [other, other.map(v => -v)]),
      fileSource('pair', [path(20.4, 'l'), path(24.1, 'r')]),
      fileSource('empty', [hiss(1e-9, 'l'), hiss(1e-9, 'r')]),
    ])
    expect(told.filter(w => w.startsWith('COPY'))).toEqual([
      'COPY_OF_ANOTHER twice',
      'COPY_OF_ANOTHER turned',
    ])
  })
})

test('a file that ends early is told, with the seconds', async () => {
  const song = await measureSession(
    session([
      group('g', 'a', [
        fileSource('a', [path(0, 'a')]),
        fileSource('short', [path(30, 'b').slice(0, 4.5 * RATE)]),
        fileSource('nearly', [path(30, 'c').slice(0, 5.5 * RATE)]),
      ]),
    ]),
    inProcess(measureTasks),
  )
  const told = song.warnings.filter(w => w.code === 'LENGTH_DIFFERS')
  expect(told.map(w => w.source)).toEqual(['short'])
  expect(told[0]!.message).toMatch(/1\.5 s shorter/)
})

test('a stamp that is wrong by an hour leaves no common time, and is found and left out', async () => {
  const start = 13 * 3600 * RATE
  const song = await measureSession(
    session([
      group('g', 'a', [
        fileSource('a', [path(0, 'a')], { stampSamples: start }),
        fileSource('b', [path(95.3, 'b')], { stampSamples: start + 3600 * RATE }),
        fileSource('c', [path(30.2, 'c')], { stampSamples: start }),
      ]),
    ]),
    inProcess(measureTasks),
  )
  const [, b, c] = song.groups[0]!.sources
  expect(b).toMatchObject({ startOffsetSamples: 0, verdict: 'sure' })
  expect(b!.lagSamples).toBeCloseTo(95.3, 1)
  expect(c).toMatchObject({ startOffsetSamples: 0, verdict: 'sure' })
  expect(song.warnings.filter(w => w.code === 'STAMP_CONTRADICTED').map(w => w.source)).toEqual(['b'])
})
