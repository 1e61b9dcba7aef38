import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { levelsOf, loudestAttack, onsetFrame } from '../../src/report/close-up/attack.js'
import { type CloseUpInput, closeUp } from '../../src/report/close-up/close-up-task.js'
import { stretchesOf } from '../../src/report/close-up/stretches.js'
import type { TracedSource } from '../../src/report/close-up/traced-source.js'
import { quietContext } from '../../src/terms/task.js'
import { createWave } from '../../src/wave/wave-writer.js'
import { bytesOfArraysMadeBy } from '../counted-arrays.js'

const RATE = 48000
const SECONDS = 6
/** Where the loud attack begins; a softer one stands earlier, at 1 s. */
const ATTACK = 3 * RATE + 123

/** Two knocks of a smooth, band-limited wave: any fraction of a frame later is known exactly. */
const knocks = (frame: number): number => {
  const one = (t: number, level: number): number =>
    t < 0
      ? 0
      : level * (t / RATE) * 900 * Math.exp((-t / RATE) * 300) * Math.sin((2 * Math.PI * 700 * t) / RATE)
  return one(frame - RATE, 0.2) + one(frame - ATTACK, 1)
}

let folder = ''
const write = (name: string, lag: number, gain: number): string => {
  const path = join(folder, name)
  const writer = createWave({
    path,
    sampleRateHz: RATE,
    channels: 1,
    frames: RATE * SECONDS,
    depth: '32f',
    metadata: { description: name, stampSamples: null, originator: 'Sumwell', codingHistory: [] },
  })
  const block = Float64Array.from({ length: RATE * SECONDS }, (_, i) => Math.fround(gain * knocks(i - lag)))
  writer.write([block], block.length)
  writer.commit()
  return path
}

const traced = (source: string, file: string, more: Partial<TracedSource>): TracedSource => ({
  source,
  file,
  fileShown: `${source}.wav`,
  selection: { kind: 'all' },
  recordedAtSamples: 0,
  lagSamples: 0,
  shiftSamples: 0,
  polarity: 'normal',
  follow: null,
  ...more,
})

let input: CloseUpInput

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'sumwell-close-up-'))
  input = {
    group: 'drum',
    sampleRateHz: RATE,
    traces: [
      traced('near', write('near.wav', 0, 0.8), {}),
      traced('far', write('far.wav', 95.31, -0.2), {
        lagSamples: 95.31,
        shiftSamples: -95.31,
        polarity: 'inverted',
      }),
    ],
    ranges: [{ startFrame: 0, endFrame: RATE * SECONDS }],
  }
})
afterAll(() => {
  rmSync(folder, { recursive: true, force: true })
})

const made = async (change: Partial<CloseUpInput> = {}) => {
  const found = await closeUp({ ...input, ...change }, quietContext)
  if (found === null) throw new Error('no close-up')
  return found
}

describe('a close-up', () => {
  it('finds the loudest attack, within a millisecond of its first frame', async () => {
    const { attackSeconds } = await made()
    expect(Math.abs(attackSeconds - ATTACK / RATE)).toBeLessThan(0.001)
  })

  it('looks only where it is told', async () => {
    const { attackSeconds } = await made({ ranges: [{ startFrame: 0, endFrame: 2 * RATE }] })
    expect(Math.abs(attackSeconds - 1)).toBeLessThan(0.001)
  })

  it('shows about 20 ms with the same frames for all sources, before and after', async () => {
    const { traces, stepMs, fromMs } = await made()
    const lengths = new Set(traces.flatMap(t => [t.before.length, t.after.length]))
    expect([...lengths]).toEqual([960])
    expect(fromMs).toBeCloseTo(-4, 9)
    expect(stepMs).toBeCloseTo(1000 / RATE, 12)
  })

  it('the source as moved lies on the reference: lag, polarity and drawn level are right', async () => {
    const { traces, attackSeconds, fromMs } = await made()
    const [near, far] = traces
    // Drawn gain is rounded to 0.1 dB (0.6 % at most) and taken from peaks on the frame grid (0.2 % at 700 Hz); values to 1e-5.
    const tolerance = 0.01 * Math.max(...near!.before.map(Math.abs))
    expect(far!.drawnGainDb).toBeCloseTo(20 * Math.log10(4), 0)
    let compared = 0
    for (const [i, value] of far!.after.entries()) {
      expect(Math.abs(value - near!.after[i]!)).toBeLessThan(tolerance)
      compared++
    }
    expect(compared).toBe(960)
    // As recorded it lies late and the other way round.
    const late = far!.before.slice(95).map((value, i) => value + near!.before[i]!)
    expect(Math.max(...late.map(Math.abs))).toBeLessThan(8 * tolerance)
    const begins = ATTACK + 95 - Math.round(attackSeconds * RATE + (fromMs * RATE) / 1000)
    expect(begins).toBeGreaterThan(200)
    expect(far!.before.slice(0, begins).every(value => Math.abs(value) < tolerance)).toBe(true)
  })

  it('the reference is drawn as it is: values of the file to a hundred-thousandth', async () => {
    const { traces, attackSeconds, fromMs } = await made()
    const start = Math.round(attackSeconds * RATE + (fromMs * RATE) / 1000)
    for (const [i, value] of traces[0]!.before.entries()) {
      expect(Math.abs(value - 0.8 * knocks(start + i))).toBeLessThan(0.6e-5)
    }
  })

  it('follows the reference where the whole group waits', async () => {
    const waiting = input.traces.map(t => ({ ...t, shiftSamples: t.shiftSamples + 95.31 }))
    const [still, moved] = [await made(), await made({ traces: waiting })]
    for (const [t, trace] of moved.traces.entries()) {
      const other = still.traces[t]!.after
      expect(trace.after.every((value, i) => Math.abs(value - other[i]!) < 2e-5)).toBe(true)
    }
    expect(moved.traces[0]!.shiftMs).toBeCloseTo((95.31 / RATE) * 1000, 9)
  })

  it('a shift that follows the take is the one at the attack', async () => {
    const follow = [
      { atSeconds: 0, shiftSamples: -95.31 - 30 },
      { atSeconds: 6, shiftSamples: -95.31 + 30 },
    ]
    const { traces } = await made({ traces: [input.traces[0]!, { ...input.traces[1]!, follow }] })
    // Half-way: attack at 3.0026 s, 0.026 frames from the middle, and up to 1 ms of search.
    expect(Math.abs((traces[1]!.shiftMs * RATE) / 1000 + 95.31)).toBeLessThan(0.05)
  })

  it('uses its arrays again: a source more takes the room of a view and no second of sound', async () => {
    const lanes = (count: number): TracedSource[] =>
      Array.from({ length: count }, (_, i) => ({ ...input.traces[i === 0 ? 0 : 1]!, source: `lane ${i}` }))
    let elsewhere = 0
    const few = await bytesOfArraysMadeBy(async () => made({ traces: lanes(2) }))
    const many = await bytesOfArraysMadeBy(async () => {
      elsewhere = (await made({ traces: lanes(12) })).elsewhere.length
    })
    expect(elsewhere).toBeGreaterThanOrEqual(1)
    expect((many - few) / 10).toBeGreaterThan(0)
    // As many bytes as an eighth of a second: of a view, of the levels, and of the filter.
    expect((many - few) / 10).toBeLessThan(RATE)
  })

  it('is null where every source is silent', async () => {
    expect(
      await closeUp({ ...input, ranges: [{ startFrame: 5 * RATE, endFrame: 6 * RATE }] }, quietContext),
    ).toBeNull()
  })

  it('stops when the run is interrupted', () => {
    expect(() => closeUp(input, { ...quietContext, aborted: true })).toThrow('interrupted')
  })
})

describe('where to look', () => {
  it('takes a short song whole and a long one in probes of a second, all within the range', () => {
    const short = stretchesOf([{ startFrame: 10, endFrame: 10 + 5 * RATE + 7 }], RATE)
    expect(short.reduce((sum, s) => sum + s.frames, 0)).toBe(5 * RATE + 7)
    const long = stretchesOf([{ startFrame: 0, endFrame: 600 * RATE }], RATE)
    expect(long).toHaveLength(24)
    expect(long.every(s => s.startFrame + s.frames <= 600 * RATE)).toBe(true)
  })

  it('chooses the hop where the quietest source is loudest, and lets silent sources not vote', () => {
    const near = Float64Array.of(-80, -80, -10, -20, -80, -80, -20, -30)
    const far = Float64Array.of(-90, -90, -60, -60, -90, -90, -30, -40)
    const dead = new Float64Array(8).fill(-120)
    expect(loudestAttack([[near, far, dead]])).toEqual({ stretch: 0, hop: 6 })
    expect(loudestAttack([[near, dead]])).toEqual({ stretch: 0, hop: 2 })
    expect(loudestAttack([[dead, dead]])).toBeNull()
  })

  it('passes over an attack that was clipped, in any source', () => {
    const near = Float64Array.of(-80, -80, -10, -20, -80, -80, -20, -30)
    const far = Float64Array.of(-80, -80, -20, Infinity, -80, -80, -30, -40)
    expect(loudestAttack([[near, near]])).toEqual({ stretch: 0, hop: 2 })
    expect(loudestAttack([[near, far]])).toEqual({ stretch: 0, hop: 6 })
    expect(loudestAttack([[new Float64Array(8).fill(Infinity)]])).toBeNull()
    expect([...levelsOf(Float64Array.of(1, 0, 0.5, 0.5), 2, true)]).toEqual([
      Infinity,
      expect.closeTo(-6.0206, 3),
    ])
  })

  it('an onset is the first frame clear of what came before', () => {
    const signal = Float64Array.from({ length: 100 }, (_, i) =>
      i < 40 ? 0.1 * Math.sin(i) : Math.sin((i - 40) / 3),
    )
    expect(onsetFrame(signal, 30)).toBe(41)
    expect(onsetFrame(new Float64Array(10), 5)).toBe(0)
  })
})
