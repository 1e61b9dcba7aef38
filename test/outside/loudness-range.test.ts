import { spawnSync } from 'node:child_process'
import { describe, expect, it } from 'vitest'
import { LoudnessMeter } from '../../src/signal/loudness.js'
import { gainFromDb } from '../../src/terms/units.js'
import { noted } from '../evidence.js'
import { noise, sine } from '../signal/signals.js'

/** Steps of a 1 kHz stereo sine, 20 s each. */
const steps = (levels: readonly number[]): LoudnessMeter => {
  const rate = 48000
  const meter = new LoudnessMeter(rate, 2)
  const unit = sine(1000, rate, rate)
  for (const level of levels) {
    const block = [0, 1].map(() => unit.map(x => x * gainFromDb(level)))
    for (let second = 0; second < 20; second++) meter.push(block)
  }
  return meter
}

// Minimum requirements of EBU Tech 3342 (2011, v3 2016), table 1, cases 1 to 4, from memory: each ±1 LU.
describe('EBU Tech 3342, loudness range', () => {
  it.each([
    [[-20, -30], 10],
    [[-20, -15], 5],
    [[-40, -20], 20],
    [[-50, -35, -20, -35, -50], 15],
  ])('%j dBFS: %i LU', (levels, range) => {
    const off = steps(levels).rangeLu()! - range
    expect(Math.abs(off)).toBeLessThan(0.2)
    noted('ebu-range', off)
  })
})

describe('the loudest moments', () => {
  it('of a steady sine are its loudness: a 1 kHz stereo sine of -23 dBFS reads -23.0 LUFS (EBU Tech 3341)', () => {
    const meter = steps([-23])
    expect(meter.momentaryLufs()).toBeCloseTo(-23, 1)
    expect(meter.shortTermLufs()).toBeCloseTo(-23, 1)
    expect(meter.rangeLu()).toBeCloseTo(0, 2)
  })

  it('are none in silence, and in less than 400 ms and 3 s', () => {
    const told = (frames: number, gain: number): readonly (number | null)[] => {
      const meter = new LoudnessMeter(48000, 1)
      meter.push([sine(1000, 48000, frames).map(x => x * gain)])
      return [meter.momentaryLufs(), meter.shortTermLufs(), meter.rangeLu()]
    }
    expect(told(5 * 48000, 0)).toEqual([null, null, null])
    expect(told(0.39 * 48000, 0.5)).toEqual([null, null, null])
    expect(told(2 * 48000, 0.5)).toEqual([expect.any(Number), null, null])
  })
})

const ffmpeg = spawnSync('ffmpeg', ['-version']).status === 0

describe.skipIf(!ffmpeg)('another meter: the ebur128 filter of ffmpeg', () => {
  it('reads range, momentary and short-term maxima alike', () => {
    const rate = 48000
    const samples = noise('range', 30 * rate, 0.4)
    let low = 0
    for (let i = 0; i < samples.length; i++) {
      low += 0.15 * (samples[i]! - low)
      const time = i / rate
      samples[i] = low * Math.exp(-2.5 * (time % 1.7)) * (0.2 + 0.8 * Math.abs(Math.sin(0.15 * time)))
    }
    const run = spawnSync(
      'ffmpeg',
      [
        ...'-hide_banner -f f64le -ar 48000 -ac 1 -i pipe:0 -af'.split(' '),
        'ebur128=metadata=1,ametadata=print:file=-',
        ...'-f null -'.split(' '),
      ],
      { input: Buffer.from(samples.buffer), encoding: 'utf8', maxBuffer: 1 << 26 },
    )
    const theirs = (key: string): readonly number[] =>
      [...run.stdout.matchAll(new RegExp(`lavfi.r128.${key}=(.*)`, 'g'))].map(match => Number(match[1]))
    const meter = new LoudnessMeter(rate, 1)
    meter.push([samples])
    expect(theirs('M').length).toBeGreaterThan(250)
    expect(Math.abs(meter.momentaryLufs()! - Math.max(...theirs('M')))).toBeLessThan(0.05)
    expect(Math.abs(meter.shortTermLufs()! - Math.max(...theirs('S')))).toBeLessThan(0.05)
    expect(Math.abs(meter.rangeLu()! - theirs('LRA').at(-1)!)).toBeLessThan(0.2)
    noted('ffmpeg-momentary', meter.momentaryLufs()! - Math.max(...theirs('M')))
    noted('ffmpeg-momentary', meter.shortTermLufs()! - Math.max(...theirs('S')))
  })
})
