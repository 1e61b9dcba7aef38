import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, vi } from 'vitest'
import { measureTraces } from '../../src/measure/group/measure-traces.js'
import { solveLags } from '../../src/measure/group/solve.js'
import { sumSpectra } from '../../src/measure/spectra/sum-spectra.js'
import { gaussian, random } from '../corpus/random.js'
import { FULL_BAND, RECORDING_RATE_HZ, recording } from '../corpus/recordings.js'
import * as responses from '../corpus/responses.js'
import { through } from '../corpus/spectrum.js'
import { noted } from '../evidence.js'
import { chunk, floats32, plainFormat, riff } from '../wave/wave-bytes.js'
import { runPython, testWith } from './wave-tools.js'

/*
 * The estimator of lag and polarity a second time, from the formulas of docs/measuring.md with NumPy and SciPy: two programs that read the
 * same files must say the same. Twenty pairs of files: recordings of real instruments (package supersonic-scsynth-samples, CC0 as it
 * states) through delays, polarities, filters, gains and noise that are drawn here.
 */

const PAIRS = 20
const SECONDS = 3
const SEARCH_SECONDS = 0.04

// About ten seconds of work; other programs on the machine may want theirs.
vi.setConfig({ testTimeout: 300_000 })

interface FilePair {
  readonly name: string
  readonly files: readonly [reference: string, source: string]
  readonly lagSamples: number
  readonly polarity: 'normal' | 'inverted'
  /** A filter in the path: its own group delay is then part of the lag that is measured. */
  readonly filtered: boolean
}

const folder = mkdtempSync(join(tmpdir(), 'sumwell-second-opinion-'))
let pairs: readonly FilePair[]

const written = (name: string, sound: Float64Array): string => {
  const file = join(folder, `${name}.wav`)
  writeFileSync(
    file,
    riff(plainFormat(3, 1, RECORDING_RATE_HZ, 32), chunk('data', floats32(Array.from(sound)))),
  )
  return file
}

/** Strokes of one recording at uneven times and levels. */
const played = (name: string, u: () => number): Float64Array => {
  const sample = recording(name)
  const out = new Float64Array(SECONDS * RECORDING_RATE_HZ)
  for (let at = Math.round(0.06 * RECORDING_RATE_HZ); at < out.length; ) {
    const level = 0.4 + 0.5 * u()
    for (let n = 0; n < sample.length && at + n < out.length; n++)
      out[at + n] = out[at + n]! + level * sample[n]!
    at += Math.round((0.3 + 0.5 * u()) * RECORDING_RATE_HZ)
  }
  return out
}

const noisy = (sound: Float64Array, db: number, seed: string): Float64Array => {
  const next = gaussian(seed)
  const level = Math.sqrt(sound.reduce((sum, v) => sum + v * v, 0) / sound.length) * 10 ** (db / 20)
  return sound.map(v => v + level * next())
}

const filePair = (index: number): FilePair => {
  const u = random(`second opinion ${index}`)
  const name = FULL_BAND[Math.floor((index * FULL_BAND.length) / PAIRS)]!
  const dry = played(name, u)
  const lagSeconds = (2 * u() - 1) * 0.03
  const polarity = u() < 0.5 ? 'normal' : 'inverted'
  const filtered = index % 2 === 1
  const path = filtered
    ? responses.multiply(
        responses.air(lagSeconds),
        responses.highPass(40 + 80 * u()),
        responses.bell(1500 + 2500 * u(), 4 * u(), 2),
        responses.rollOff(6000 + 6000 * u()),
      )
    : responses.air(lagSeconds)
  const gain = (polarity === 'normal' ? 1 : -1) * 10 ** ((-12 * u()) / 20)
  const heard = through(dry, RECORDING_RATE_HZ, 8192, path).map(v => gain * v)
  const noiseDb = -20 - 20 * u()
  return {
    name: `${name} ${polarity} ${(1000 * lagSeconds).toFixed(2)} ms${filtered ? ' filtered' : ''}`,
    files: [
      written(`${index}-reference`, noisy(dry, noiseDb - 10, `reference ${index}`)),
      written(`${index}-source`, noisy(heard, noiseDb, `source ${index}`)),
    ],
    lagSamples: lagSeconds * RECORDING_RATE_HZ,
    polarity,
    filtered,
  }
}

const ours = async ({ files }: FilePair): Promise<{ lagSamples: number; polarity: string }> => {
  const member = (name: string) => ({
    name,
    channels: 1,
    frames: SECONDS * RECORDING_RATE_HZ,
    startFrame: 0,
  })
  const measured = await measureTraces(
    {
      sampleRateHz: RECORDING_RATE_HZ,
      members: [member('reference'), member('source')],
      reference: 0,
      searchSeconds: SEARCH_SECONDS,
      passage: null,
    },
    (plan, segment) =>
      Promise.resolve(
        sumSpectra(
          { files: files.map(file => ({ file, selection: { kind: 'all' } })), plan, segment },
          { aborted: false, advance: () => undefined },
        ),
      ),
  )
  return {
    lagSamples: solveLags(measured).lagSamples[1]!,
    polarity: measured.pairs[0]!.estimate!.sign === 1 ? 'normal' : 'inverted',
  }
}

beforeAll(() => {
  pairs = Array.from({ length: PAIRS }, (_, index) => filePair(index))
})
afterAll(() => {
  rmSync(folder, { recursive: true, force: true })
})

testWith('scipy', 'the estimator written again in Python says the same of 20 pairs of files', async () => {
  const script = readFileSync(new URL('second-opinion/lag.py', import.meta.url), 'utf8')
  const asked = pairs.map(({ files }) => `${files.join(' ')} ${SEARCH_SECONDS}\n`).join('')
  const theirs = runPython(script, [], asked)
    .toString()
    .trim()
    .split('\n')
    .map(line => JSON.parse(line) as { lagSamples: number; polarity: string })
  expect(theirs).toHaveLength(PAIRS)
  let plain = 0
  for (const [index, pair] of pairs.entries()) {
    const mine = await ours(pair)
    const other = theirs[index]!
    expect(other.polarity, pair.name).toBe(mine.polarity)
    expect(mine.polarity, pair.name).toBe(pair.polarity)
    expect(Math.abs(other.lagSamples - mine.lagSamples), pair.name).toBeLessThan(0.01)
    noted('pair-lag', other.lagSamples - mine.lagSamples)
    if (pair.filtered) continue
    // Without a filter the truth itself is known.
    expect(Math.abs(mine.lagSamples - pair.lagSamples), pair.name).toBeLessThan(0.1)
    noted('cc0-lag', mine.lagSamples - pair.lagSamples)
    plain++
  }
  expect(plain).toBe(PAIRS / 2)
})
