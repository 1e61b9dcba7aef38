import { rmSync } from 'node:fs'
import { afterEach, describe, expect, it } from 'vitest'
import type { CloseUp } from '../../src/report/close-up/close-up.js'
import { unpackWhole } from '../../src/report/listen/residuals.js'
import { MOST_COARSE_TEXT_BYTES, textBytes } from '../../src/report/listen/room.js'
import type { ReportGroup } from '../../src/report/report.js'
import { reportTasks } from '../../src/report/tasks.js'
import { between, coarseView } from '../../src/report/waveform/coarse-view.js'
import type { Waveform } from '../../src/report/waveform/waveform.js'
import { type CoarseSound, waveform } from '../../src/report/waveform/waveform-task.js'
import { waveformsOf } from '../../src/report/waveform/waveforms-of.js'
import { inProcess, quietContext } from '../../src/terms/task.js'
import { plannedSources, temporaryFolder } from '../tone/setting/plans.js'
import { whiteNoise } from '../tone/setting/sounds.js'
import { lanternReport, lanternStreet } from './fixture.js'

const RATE = 48000
const EVERY = 24
const BAND = 750

let folder = ''
afterEach(() => {
  rmSync(folder, { recursive: true, force: true })
})

const coarse = (sound: Float64Array): CoarseSound => {
  folder = temporaryFolder()
  const [source] = plannedSources(folder, RATE, [{ name: 'a', sound: [sound] }])
  const { file, selection } = source!
  return waveform({ file, selection, everyFrames: EVERY }, quietContext) as CoarseSound
}

const tone = (hz: number, amplitude: number, frames: number): Float64Array =>
  Float64Array.from({ length: frames }, (_, n) => amplitude * Math.sin((2 * Math.PI * hz * n) / RATE))

describe('the whole song at few values a second', () => {
  it.each([80, 300, 700])('between its values a tone of %i Hz is what it was', hz => {
    const found = coarse(tone(hz, 0.5, 2 * RATE))
    const { values } = unpackWhole(found.bytes, 0, found.values)
    expect(found.values).toBe((2 * RATE) / EVERY)
    let compared = 0
    // Half a step, what the filter lets stand of ripple (50 dB), and a 256th of a value's distance in time at the worst.
    const tolerance = found.step / 2 + 0.5 * 10 ** (-50 / 20) + (0.5 * 2 * Math.PI * hz * EVERY) / RATE / 256
    for (let frame = 0.3 * RATE; frame < 1.7 * RATE; frame += 17) {
      const seen = found.step * between(values, frame / EVERY)
      expect(Math.abs(seen - 0.5 * Math.sin((2 * Math.PI * hz * frame) / RATE))).toBeLessThan(tolerance)
      compared++
    }
    expect(compared).toBeGreaterThan(3000)
  })

  it('what sounds above its band folds nowhere, and every tenth of a second has its peak', () => {
    const sound = tone(200, 0.1, RATE).map((x, n) => x + 0.5 * Math.sin((2 * Math.PI * 1700 * n) / RATE))
    sound.fill(0, 0.5 * RATE)
    const found = coarse(sound)
    expect(found.step * 256).toBeLessThan(0.1 + 0.02)
    expect(found.peaks).toHaveLength(10)
    for (const peak of found.peaks.slice(1, 4)) expect(peak).toBeCloseTo(0.1, 2)
    for (const peak of found.peaks.slice(6)) expect(peak).toBe(0)
  })

  it('silence has no step and stays silence', () => {
    const found = coarse(new Float64Array(RATE))
    expect(found.step).toBe(0)
    expect(unpackWhole(found.bytes, 0, found.values).values.every(value => value === 0)).toBe(true)
  })
})

describe('a close-up of any moment', () => {
  it('shows a late and turned source as recorded, and in place as delivered', () => {
    const lag = 151.4
    const wave = (n: number): number =>
      0.4 * Math.sin((2 * Math.PI * 110 * n) / RATE) + 0.2 * Math.sin((2 * Math.PI * 431 * n) / RATE)
    const sounds = [
      coarse(Float64Array.from({ length: RATE }, (_, n) => wave(n))),
      coarse(Float64Array.from({ length: RATE }, (_, n) => -0.5 * wave(n - lag))),
    ]
    const unpacked = sounds.map(({ bytes, values }) => unpackWhole(bytes, 0, values).values)
    const held: Waveform = {
      everyFrames: EVERY,
      bandHz: BAND,
      seconds: 1,
      overview: [],
      sources: sounds.map(({ step, values }, s) => ({
        id: `waveform-0-${s}`,
        source: s === 0 ? 'near' : 'far',
        recordedAtSamples: 0,
        values,
        step,
        sha256: '',
      })),
    }
    const trace = {
      file: '',
      polarity: 'normal',
      before: Array(480).fill(0),
      after: Array(480).fill(0),
    } as const
    const closeUp: CloseUp = {
      sampleRateHz: RATE,
      attackSeconds: 0.2,
      fromMs: -4,
      stepMs: 1 / 24,
      scale: 0.6,
      traces: [
        { ...trace, source: 'near', drawnGainDb: 0, shiftMs: 0 },
        { ...trace, source: 'far', drawnGainDb: 6.02, polarity: 'inverted', shiftMs: (-1000 * lag) / RATE },
      ],
      elsewhere: [],
    }
    const group = { ...lanternReport().groups[0]!, sampleRateHz: RATE, sources: [] } as ReportGroup
    const view = coarseView(group, closeUp, held, id => unpacked[Number(id.at(-1))]!, 0.5)
    expect(view.traces.map(({ source }) => source)).toEqual(['near', 'far'])
    let compared = 0
    for (let i = 0; i < 480; i++) {
      const frame = 0.5 * RATE + ((view.fromMs + i * view.stepMs) * RATE) / 1000
      const [near, far] = view.traces
      const tolerance = 0.012
      expect(Math.abs(near!.before[i]! - wave(frame))).toBeLessThan(tolerance)
      expect(Math.abs(near!.after[i]! - wave(frame))).toBeLessThan(tolerance)
      expect(Math.abs(far!.before[i]! + wave(frame - lag))).toBeLessThan(tolerance)
      expect(Math.abs(far!.after[i]! - wave(frame))).toBeLessThan(tolerance)
      compared += 4
    }
    expect(compared).toBe(1920)
    expect(view.attackSeconds).toBe(0.5)
  })
})

describe('how fine it is', () => {
  const { session, measurement, plan } = lanternStreet
  const askedFor = async (secondsEach: number, bitsAValue: number) => {
    const long = {
      ...plan,
      sources: plan.sources.map(source => ({
        ...source,
        facts: { ...source.facts, frames: secondsEach * source.facts.sampleRateHz },
      })),
    }
    const asked = new Set<number>()
    const tasks = {
      ...inProcess(reportTasks),
      waveform: ({ everyFrames }: { everyFrames: number }) => {
        asked.add(everyFrames)
        const values = Math.floor((secondsEach * RATE) / everyFrames)
        const bytes = new Uint8Array(Math.floor((values * bitsAValue) / 8))
        return Promise.resolve({ values, step: 0.001, peaks: [0.1, 0.5], bytes })
      },
    }
    const found = await waveformsOf(session, measurement, long, tasks)
    const room = [...found.bytes.values()].reduce((sum, { length }) => sum + textBytes(length), 0)
    expect(room).toBeLessThanOrEqual(MOST_COARSE_TEXT_BYTES)
    return { found, asked: [...asked] }
  }

  it.each([
    ['half a minute of seven sources', 34, 6, [6]],
    ['three minutes', 180, 6, [12]],
    ['three minutes of noise, which packs badly', 180, 10, [12, 24]],
    ['five minutes', 300, 6, [24]],
    ['twelve minutes', 720, 6, [48]],
    ['two hours: too long for any', 7200, 6, []],
  ])('%s', async (_, seconds, bits, everyFrames) => {
    const { found, asked } = await askedFor(seconds, bits)
    expect(asked).toEqual(everyFrames)
    expect(found.waveforms.size).toBe(everyFrames.length === 0 ? 0 : 3)
    const last = everyFrames.at(-1)
    if (last === undefined) return
    const bass = found.waveforms.get('upright-bass')!
    expect(bass.everyFrames).toBe(last)
    expect(bass.sources.map(({ source }) => source)).toEqual(['piezo', 'bridge', 'room'])
    expect(bass.overview).toHaveLength(480)
    expect(Math.max(...bass.overview)).toBe(1000)
  })
})

it('the places of noise are seen where they are', () => {
  const burst = new Float64Array(RATE)
  burst.set(whiteNoise(2000, 'burst'), 24_000)
  const found = coarse(burst)
  const { values } = unpackWhole(found.bytes, 0, found.values)
  const energy = (from: number, to: number): number =>
    values.subarray(from / EVERY, to / EVERY).reduce((sum, v) => sum + v * v, 0)
  expect(energy(23_500, 26_500) / energy(0, RATE)).toBeGreaterThan(0.99)
})
