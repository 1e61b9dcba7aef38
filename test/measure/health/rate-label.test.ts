import { expect, test } from 'vitest'
import { rateSentences } from '../../../src/measure/health/rate-words.js'
import { measureSession } from '../../../src/measure/measure-session.js'
import { measureTasks } from '../../../src/measure/tasks.js'
import { inProcess } from '../../../src/terms/task.js'
import { whiteNoise } from '../../corpus/random.js'
import { bell, multiply, rollOff } from '../../corpus/responses.js'
import { through } from '../../corpus/spectrum.js'
import { fileSource, group, FIXTURE_RATE_HZ as RATE, session } from '../session-fixture.js'
import { resampled } from './resampled.js'

const SECONDS = 9
const strokes = (seed: string): Float64Array =>
  through(
    whiteNoise(SECONDS * RATE, seed).map((v, n) => 0.2 * v * Math.exp(-(n % 17000) / 3000)),
    RATE,
    4800,
    multiply(bell(900, 8, 1), rollOff(6000)),
  )
const noisy = (signal: Float64Array, seed: string): Float64Array => {
  const noise = whiteNoise(signal.length, seed)
  return signal.map((v, n) => v + 0.001 * noise[n]!)
}
const music = strokes('rate music')

const measure = (other: Float64Array) =>
  measureSession(
    session([
      group('g', 'direct', [
        fileSource('direct', [noisy(music, 'a')]),
        fileSource('other', [noisy(other, 'b')]),
      ]),
    ]),
    inProcess(measureTasks),
  )

// A file of another true rate under the label of 48 kHz: frames of it per frame of the reference, and what must be said.
const CASES = [
  { name: '44.1 kHz called 48 kHz', factor: 147 / 160, said: /this file was recorded at 44\.1 kHz/ },
  {
    name: 'a reference of 44.1 kHz called 48 kHz',
    factor: 160 / 147,
    said: /direct was recorded at 44\.1 kHz/,
  },
  { name: '96 kHz called 48 kHz', factor: 2, said: /this file was recorded at 96 kHz/ },
  { name: 'pulled down by 0.1 %', factor: 1000 / 1001, said: /plays 0\.10 % too fast/ },
] as const

test.each(CASES)('$name is found by the sound and told', async ({ factor, said }) => {
  // Late by 300 frames too, as a microphone would be.
  const song = await measure(resampled(shifted(music, 300), 1 / factor))
  const told = song.warnings.filter(w => w.code === 'RATE_LABEL')
  expect(told).toHaveLength(1)
  expect(told[0]).toMatchObject({ group: 'g', source: 'other' })
  expect(told[0]!.message).toMatch(said)
  const source = song.groups[0]!.sources[1]!
  expect(source).toMatchObject({ verdict: 'unknown', lagSamples: null, candidates: [] })
  expect(source.reason).toMatch(/sample rate in the header/)
})

const shifted = (signal: Float64Array, frames: number): Float64Array =>
  Float64Array.from(signal, (_, n) => signal[n - frames] ?? 0)

test('another song has no rate at which it fits', async () => {
  const song = await measure(strokes('another'))
  expect(song.groups[0]!.sources[1]!.verdict).toBe('unknown')
  expect(song.warnings.map(w => w.code)).not.toContain('RATE_LABEL')
})

test('the words name whose header is wrong, and 8.8 % as what it is', () => {
  // 48 / 44.1 = 1.08844: 88,435 ppm.
  expect(rateSentences(147 / 160, 48000, 'ref').warning).toMatch(
    /8\.8 % too fast against ref \(88,435 ppm, all the time\).*this file.*44\.1 kHz.*says 48 kHz/,
  )
  expect(rateSentences(160 / 147, 44100, 'ref').warning).toMatch(
    /8\.1 % too slow.*this file.*48 kHz.*says 44\.1 kHz/,
  )
  expect(rateSentences(147 / 160, 96000, 'ref').warning).toMatch(/this file.*88\.2 kHz/)
})
