import { describe, expect, test } from 'vitest'
import { noteName, playedTones } from '../../../src/measure/advice/played-tones.js'
import { highestShared, type SharedSound, toleranceMetres } from '../../../src/measure/advice/shared-band.js'
import { measureSession } from '../../../src/measure/measure-session.js'
import type { Advice } from '../../../src/measure/measurement.js'
import { measureTasks } from '../../../src/measure/tasks.js'
import type { Via } from '../../../src/recipe/session.js'
import { inProcess } from '../../../src/terms/task.js'
import { whiteNoise } from '../../corpus/random.js'
import { rollOff } from '../../corpus/responses.js'
import { delayed, through } from '../../corpus/spectrum.js'
import { fileSource, group, FIXTURE_RATE_HZ as RATE, session } from '../session-fixture.js'

const SPEED = 343.2146 // m/s at 20 C

describe('tolerance', () => {
  test('53.9 degrees at the highest frequency: 1 dB for two equal parts', () => {
    for (const hz of [500, 4000, 16000]) {
      const metres = toleranceMetres(hz, SPEED)
      const phase = (2 * Math.PI * hz * metres) / SPEED
      expect(-20 * Math.log10(Math.cos(phase / 2))).toBeCloseTo(1, 4)
    }
    // 1.29 cm at 4 kHz.
    expect(toleranceMetres(4000, SPEED)).toBeCloseTo(0.012856, 5)
  })
})

/** Bins of 5.86 Hz, as in an 8,192-frame transform at 48 kHz; coherence 1 where the size is above 0. */
const soundOf = (size: (hz: number) => number): SharedSound => {
  const bins = 4097
  const level = Float64Array.from({ length: bins }, (_, k) => size((k * 48000) / 8192))
  const cross = new Float64Array(2 * bins)
  level.forEach((value, k) => {
    cross[2 * k] = value
  })
  return { cross, level, gammaSquared: level.map(value => (value > 0 ? 1 : 0)) }
}

test('the highest shared frequency is the top of the last third octave within a hundredth of the strongest', () => {
  // Flat to 3 kHz, then nothing: 50 * 2^(18/3) = 3,200 Hz is the top of the band that holds 3 kHz.
  expect(
    highestShared(
      soundOf(hz => (hz < 3000 ? 1 : 0)),
      48000,
    ),
  ).toBeCloseTo(3200, 6)
  expect(
    highestShared(
      soundOf(() => 0),
      48000,
    ),
  ).toBeNull()
})

test('tones are found between the bins and named', () => {
  // Hann lines of a windowed sine are about Gaussian near their top.
  const line = (hz: number, at: number, power: number) => power * Math.exp(-(((hz - at) / 7) ** 2))
  const tones = playedTones(
    soundOf(
      hz => 1e-4 + line(hz, 97.999, 1) + line(hz, 41.203, 0.5) + line(hz, 220, 0.2) + line(hz, 440, 0.02),
    ),
    48000,
  )
  expect(tones).toHaveLength(3)
  expect(tones.map(noteName)).toEqual(['G2', 'E1', 'A3'])
  expect(tones[0]).toBeCloseTo(97.999, 0)
  // Published: A4 = 440 Hz (ISO 16), C4 = 261.6 Hz.
  expect([440, 261.6256, 30.8677, 466.16].map(noteName)).toEqual(['A4', 'C4', 'B0', 'A♯4'])
})

const SECONDS = 4
const strokes = through(
  whiteNoise(SECONDS * RATE, 'advice').map((v, n) => 0.15 * v * Math.exp(-(n % 17000) / 3000)),
  RATE,
  4800,
  rollOff(3000),
)
// A low note of 98 Hz under the strokes.
const played = strokes.map(
  (v, n) => v + 0.1 * Math.exp(-(n % 48000) / 24000) * Math.sin((2 * Math.PI * 97.9989 * n) / RATE),
)

const adviceOf = async (
  lagSamples: number,
  via: readonly [Via, Via],
  more: { sign?: 1 | -1; distanceMetres?: number } = {},
): Promise<Advice | null> => {
  const noise = whiteNoise(2 * played.length, 'advice noise')
  const heard = delayed(played, lagSamples)
  const song = await measureSession(
    session([
      group('g', 'one', [
        fileSource('one', [played.map((v, n) => v + 0.001 * noise[n]!)], { via: via[0] }),
        fileSource('two', [heard.map((v, n) => (more.sign ?? 1) * v + 0.001 * noise[played.length + n]!)], {
          via: via[1],
          distanceMetres: more.distanceMetres ?? null,
        }),
      ]),
    ]),
    inProcess(measureTasks),
  )
  const [one, two] = song.groups[0]!.sources
  expect(one!.advice).toBeNull()
  return two!.advice
}

describe('what measure says before the next take', () => {
  test('an early microphone is moved back by its lag in air', async () => {
    const early = (-0.024 / SPEED) * RATE
    const advice = await adviceOf(early, ['mic', 'mic'])
    expect(advice!.moveMetres).toBeCloseTo(0.024, 3)
    expect(advice!.text).toMatch(
      /^move it 2\.4 cm back and it arrives with one; from take to take keep the stands within \d+(\.\d)? cm \(1 dB at/,
    )
    expect(advice!.toleranceMetres! * advice!.toleranceHz!).toBeCloseTo(0.149828 * SPEED, 2)
  })

  test('a room path stands so many degrees, too: 0.17 % of its air a degree', async () => {
    // Computed: sqrt((273.15 + 21) / (273.15 + 20)) - 1 = 0.0017042 at 20 degrees.
    const advice = (await adviceOf((6 / SPEED) * RATE, ['direct', 'mic'], {}))!
    expect(advice.toleranceCelsius! * 6 * 0.0017042).toBeCloseTo(advice.toleranceMetres!, 3)
    expect(advice.text).toMatch(/keep the stands within .* and the room within \d+(\.\d)? °C \(1 dB at/)
    // 2.4 cm of air do not mind the weather.
    expect((await adviceOf((0.024 / SPEED) * RATE, ['mic', 'mic']))!.toleranceCelsius).toBeNull()
  })

  test('a late one comes closer, or the other goes back where it has no room', async () => {
    const late = (0.2 / SPEED) * RATE
    expect((await adviceOf(late, ['mic', 'mic']))!.text).toMatch(/^move it 20 cm closer, or one back by that/)
    expect((await adviceOf(late, ['mic', 'mic'], { distanceMetres: 0.15 }))!.text).toMatch(
      /^move one 20 cm back and they arrive together/,
    )
  })

  test('a cable cannot wait: the note that suffers most is named', async () => {
    // Half a period of G2: 244.9 frames (check: 48000 / 97.9989 / 2).
    const advice = await adviceOf(244.9, ['direct', 'mic'])
    expect(advice!.moveMetres).toBeNull()
    expect(advice!.tones[0]).toMatchObject({ note: 'G2' })
    expect(advice!.tones[0]!.halfWavelengths).toBeCloseTo(1, 1)
    expect(advice!.tones[0]!.lossDb).toBeGreaterThan(15)
    expect(advice!.text).toMatch(/1\.75 m are about half a wavelength of G2 \(98 Hz\)/)
  })

  test('inverted: whole wavelengths cancel, and the polarity comes first', async () => {
    const advice = await adviceOf(489.8, ['direct', 'mic'], { sign: -1 })
    expect(advice!.text).toMatch(
      /^turn its polarity over at the preamp; 3\.50 m are about one wavelength of G2/,
    )
  })

  test('inverted and near: no wavelength is counted', async () => {
    const advice = await adviceOf(12, ['direct', 'mic'], { sign: -1 })
    expect(advice!.text).toMatch(
      /8\.6 cm are little beside the wavelength of \S+ \(.*\), which suffers most unless turned over/,
    )
  })

  test('what is not sure asks for a slate', async () => {
    const song = await measureSession(
      session([
        group('g', 'one', [
          fileSource('one', [played]),
          fileSource('two', [whiteNoise(played.length, 'x').map(v => 0.1 * v)]),
        ]),
      ]),
      inProcess(measureTasks),
    )
    expect(song.groups[0]!.sources[1]!.advice).toMatchObject({ moveMetres: null, tones: [] })
    expect(song.groups[0]!.sources[1]!.advice!.text).toMatch(/sumwell slate/)
  })
})
