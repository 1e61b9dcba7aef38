import { rmSync } from 'node:fs'
import { afterEach, describe, expect, it } from 'vitest'
import type { StemPart } from '../../src/decide/plan.js'
import { choosePassage, type Look } from '../../src/report/listen/choose-passage.js'
import { loopSamples } from '../../src/report/listen/loop.js'
import { type Coding, codingFor, losslessCoding, pack, unpack } from '../../src/report/listen/packing.js'
import { passage } from '../../src/report/listen/passage-task.js'
import { quietContext } from '../../src/terms/task.js'
import { plannedSources, temporaryFolder } from '../tone/setting/plans.js'
import { whiteNoise } from '../tone/setting/sounds.js'

const RATE = 8000

describe('packing', () => {
  it.each<[Coding, number, number]>([
    ['s16', 1 / 32768, 1 - 1 / 32768],
    ['s24', 1 / 8388608, 1 - 1 / 8388608],
    ['s32', 1 / 2147483648, 1 - 1 / 2147483648],
    ['f32', Math.fround(1e-20), 3.5],
    ['f64', 1e-300, Math.PI],
  ])('%s gives every value back, two channels in step', (coding, least, most) => {
    const left = Float64Array.of(0, least, -least, most, -1, 0.5, -0.25)
    const channels = [left, left.map(x => -x / 2).map(x => (coding === 'f64' ? x : Math.fround(x)))]
    const exact = losslessCoding([left], coding)
    expect(exact).toBe(coding)
    const kept = losslessCoding(channels, coding)
    const back = unpack(pack(channels, kept), kept, 2)
    expect(back.map(c => [...c].map(x => x + 0))).toEqual(channels.map(c => [...c].map(x => x + 0)))
  })

  it('takes a larger coding where the given one would lose something', () => {
    expect(losslessCoding([Float64Array.of(0.5 + 1 / 65536)], 's16')).toBe('s24')
    expect(losslessCoding([Float64Array.of(1 / 3)], 's24')).toBe('f64')
    expect(losslessCoding([Float64Array.of(1)], 's16')).toBe('f32')
    expect([codingFor(8, 'int'), codingFor(24, 'int'), codingFor(32, 'float')]).toEqual(['s16', 's24', 'f32'])
  })
})

describe('choosing a passage', () => {
  const look = (change: number, sources: readonly number[] = [-20, -20]): Look => ({
    sourceDb: sources,
    recordedDb: -20 - change,
    deliveredDb: -20,
  })

  it('is where lining up changes most, and says where it is loudest', () => {
    const looks = [look(0), look(1), look(0), look(3), look(6), look(2), look(0), look(0)]
    expect(choosePassage(looks, 3)).toEqual({ first: 3, loudestDifference: 4 })
  })

  it('is where all play, whatever changes elsewhere', () => {
    const alone = look(12, [-20, -100])
    expect(choosePassage([alone, alone, alone, look(1), look(1), alone], 2).first).toBe(3)
  })

  it('is the start where nothing sounds, and everything where there is less', () => {
    const silent = look(0, [-120, -120])
    expect(choosePassage([silent, silent, silent], 2).first).toBe(0)
    expect(choosePassage([look(1)], 20)).toEqual({ first: 0, loudestDifference: 0 })
  })
})

describe('a loop', () => {
  const ramp = Float64Array.from({ length: 4000 }, (_, n) => Math.sin(n / 9))

  it('is the passage itself, begun anywhere, but for a seam of 5 ms', () => {
    const region = { from: 1000, to: 3000 }
    const whole = loopSamples(ramp, region, 0, RATE)
    for (let i = 0; i < 1960; i++) expect(whole[i]).toBe(Math.fround(ramp[1000 + i]!))
    const later = loopSamples(ramp, region, 777, RATE)
    for (let i = 0; i < 2000; i++) expect(later[i]).toBe(whole[(i + 777) % 2000])
  })

  it.each([
    [1000, 3000],
    [0, 2500],
  ])('goes from its end (%i to %i) to its start without a step', (from, to) => {
    const loop = loopSamples(ramp, { from, to }, 0, RATE)
    const steepest = 1 / 9 + 2 / 40
    for (let i = 0; i < loop.length; i++) {
      expect(Math.abs(loop[(i + 1) % loop.length]! - loop[i]!)).toBeLessThan(steepest)
    }
  })
})

describe('the passage task', () => {
  let folder = ''
  afterEach(() => {
    rmSync(folder, { recursive: true, force: true })
  })

  it('reads each recording as it is, with room for every move', () => {
    folder = temporaryFolder()
    const sounds = ['a', 'b'].map(seed => whiteNoise(6 * RATE, seed).map(Math.fround))
    const sources = plannedSources(folder, RATE, [
      { name: 'a', sound: [sounds[0]!] },
      { name: 'b', sound: [sounds[1]!], recordedAt: 500 },
    ])
    const parts = sources.map(
      (source, s): StemPart => ({
        key: source.key,
        atSamples: s === 0 ? 0 : 400.25,
        gain: 0.5,
        recordedAtSamples: source.recordedAtSamples,
        recordedGain: 0.5,
        weightShown: '',
        matchGainDb: 0,
        follow: null,
      }),
    )
    const found = sources.map(
      ({ key, file, selection }) =>
        passage(
          {
            sampleRateHz: RATE,
            startFrame: 2 * RATE,
            recording: { key, file, selection },
            uses: parts.filter(part => part.key === key),
            frames: 2 * RATE,
            marginFrames: 100,
          },
          quietContext,
        ) as Awaited<ReturnType<typeof passage>>,
    )
    expect(found.map(({ startFrame, frames }) => [startFrame, frames])).toEqual([
      [2 * RATE - 100, 2 * RATE + 200],
      [2 * RATE - 600, 2 * RATE + 300],
    ])
    found.forEach(({ bytes, coding, startFrame, frames, channels }, s) => {
      expect(coding).toBe('f32')
      expect(unpack(bytes, coding, channels)).toEqual([sounds[s]!.subarray(startFrame, startFrame + frames)])
    })
  })
})
