import { describe, expect, test } from 'vitest'
import { codesOf, file, group, inner, planOf, shiftsOf, sourceOf } from './setting/song.js'

// Values: the project's table of signs, computed: shift = -lag with `hold: reference`, max(lag) - lag with `hold: latest`.
const piezo = file('piezo')
const bridge = file('bridge', { lagSamples: 95.31 })
const room = file('room', { lagSamples: 364 })

describe('hold', () => {
  test('reference: the reference stays, late paths are pulled forward', async () => {
    const plan = await planOf([group('bass', [piezo, bridge, room])])
    expect(shiftsOf(plan)).toEqual({ piezo: 0, bridge: -95.31, room: -364 })
    expect(plan.groups[0]?.lateSamples).toBe(0)
  })

  test('latest: nothing is pulled forward, and how late the group is now is said', async () => {
    const plan = await planOf([group('bass', [piezo, bridge, room], { align: { hold: 'latest' } })])
    const shifts = shiftsOf(plan)
    expect(shifts['piezo']).toBe(364)
    expect(shifts['bridge']).toBeCloseTo(268.69, 9)
    expect(shifts['room']).toBe(0)
    expect(plan.groups[0]?.lateSamples).toBe(364)
  })

  test('latest does not wait for a re-amped pass, which is pulled forward to the others', async () => {
    const reamp = file('reamp', { lagSamples: 1200.5 }, { via: 'reamp' })
    const plan = await planOf([group('bass', [piezo, bridge, reamp], { align: { hold: 'latest' } })])
    const shifts = shiftsOf(plan)
    expect(shifts['bridge']).toBe(0)
    expect(shifts['piezo']).toBe(95.31)
    expect(shifts['reamp']).toBeCloseTo(95.31 - 1200.5, 9)
  })

  test('latest with an early source: it waits for the reference', async () => {
    const early = file('early', { lagSamples: -12 })
    const plan = await planOf([group('bass', [piezo, early], { align: { hold: 'latest' } })])
    expect(shiftsOf(plan)).toEqual({ piezo: 0, early: 12 })
  })

  test('what stays as recorded waits with the reference', async () => {
    const unsure = file('unsure', { lagSamples: 20, lagVerdict: 'unsure', verdict: 'unsure' })
    const plan = await planOf([group('bass', [piezo, room, unsure], { align: { hold: 'latest' } })])
    expect(shiftsOf(plan)).toEqual({ piezo: 364, room: 0, unsure: 364 })
  })
})

describe('nudge', () => {
  test('3 ms leaves the room 144 frames late: shift -220', async () => {
    const nudged = file('room', { lagSamples: 364 }, { nudgeSamples: 144 })
    expect(shiftsOf(await planOf([group('bass', [piezo, nudged])]))).toEqual({ piezo: 0, room: -220 })
  })

  test('-0.3 ms is 14.4 frames early', async () => {
    const nudged = file('room', { lagSamples: 364 }, { nudgeSamples: -14.4 })
    expect(shiftsOf(await planOf([group('bass', [piezo, nudged])]))['room']).toBeCloseTo(-378.4, 9)
  })

  test('to earlier with `hold: latest`: the others wait a little more, nothing is pulled forward', async () => {
    const nudged = file('room', { lagSamples: 364 }, { nudgeSamples: -14.4 })
    const shifts = shiftsOf(await planOf([group('bass', [piezo, nudged], { align: { hold: 'latest' } })]))
    expect(shifts['room']).toBe(0)
    expect(shifts['piezo']).toBeCloseTo(378.4, 9)
  })
})

describe('resolution: sample', () => {
  test('rounds every shift to whole frames', async () => {
    const plan = await planOf([group('bass', [piezo, bridge, room], { align: { resolution: 'sample' } })])
    expect(shiftsOf(plan)).toEqual({ piezo: 0, bridge: -95, room: -364 })
  })

  test('with `hold: latest` the wait is whole too', async () => {
    const late = file('late', { lagSamples: 363.6 })
    const align = { resolution: 'sample', hold: 'latest' } as const
    const plan = await planOf([group('bass', [piezo, bridge, late], { align })])
    expect(shiftsOf(plan)).toEqual({ piezo: 364, bridge: 269, late: 0 })
  })
})

describe('start offsets', () => {
  test('a file that starts 480 frames later by its stamp, lag +95.31 after that', async () => {
    const start = 2246400000 // 13:00:00 at 48 kHz
    const stamped = (stampSamples: number) => ({ facts: { stampSamples } })
    const plan = await planOf([
      group('bass', [
        file('piezo', {}, stamped(start)),
        file('bridge', { lagSamples: 95.31, startOffsetSamples: 480 }, stamped(start + 480)),
      ]),
    ])
    const moved = sourceOf(plan, 'bass/bridge')
    expect(moved.recordedAtSamples).toBe(480)
    expect(moved.move.shiftSamples).toBe(-95.31)
    expect(plan.stems.find(stem => stem.name === 'bass_bridge')?.parts[0]?.atSamples).toBeCloseTo(384.69, 9)
  })
})

describe('groups in groups', () => {
  const kick = group('kick', [file('in'), file('out', { lagSamples: 30 })])
  const overhead = file('overhead')

  test('the inner group is lined up first, then moves as one', async () => {
    const kit = group('kit', [overhead, inner('kick', 'kick', { lagSamples: -200, polarity: 'inverted' })])
    const plan = await planOf([kick, kit])
    expect(shiftsOf(plan)).toEqual({ in: 200, out: 170, overhead: 0 })
    expect(plan.sources.map(source => source.move.polarity)).toEqual(['inverted', 'inverted', 'normal'])
    expect(plan.sources.map(source => source.key)).toEqual(['kick/in', 'kick/out', 'kit/overhead'])
  })

  test('an inner group that waits for its latest still lands where the outer one wants it', async () => {
    const waiting = group('kick', [file('in'), file('out', { lagSamples: 30 })], {
      align: { hold: 'latest' },
    })
    const kit = group('kit', [overhead, inner('kick', 'kick', { lagSamples: -200 })])
    expect(shiftsOf(await planOf([waiting, kit]))).toEqual({ in: 200, out: 170, overhead: 0 })
  })

  test('a group as the reference: its wait is the common arrival', async () => {
    const waiting = group('kick', [file('in'), file('out', { lagSamples: 30 })], {
      align: { hold: 'latest' },
    })
    const spot = file('spot', { lagSamples: 5 })
    const plan = await planOf([waiting, group('kit', [inner('kick', 'kick'), spot])])
    expect(shiftsOf(plan)).toEqual({ in: 30, out: 0, spot: 25 })
    expect(plan.groups.map(({ lateSamples }) => lateSamples)).toEqual([30, 30])
  })

  test('an inner reference that is turned over turns what was measured against it', async () => {
    const turned = group('kick', [
      file('in', {}, { polarity: 'inverted' }),
      file('out', { polarity: 'inverted' }),
    ])
    const kit = group('kit', [overhead, inner('kick', 'kick', { polarity: 'inverted' })])
    const plan = await planOf([turned, kit])
    // `out` is the other way round than `in`, so it was right; the group now is the same way round as the overhead.
    expect(plan.sources.map(source => source.move.polarity)).toEqual(['inverted', 'normal', 'normal'])
  })

  test('a group in doubt stays as one where it was, lined up in itself', async () => {
    const kit = group('kit', [
      overhead,
      inner('kick', 'kick', { lagSamples: null, verdict: 'unknown', lagVerdict: 'unknown' }),
    ])
    const plan = await planOf([kick, kit])
    expect(shiftsOf(plan)).toEqual({ in: 0, out: -30, overhead: 0 })
    expect(codesOf(plan)).toEqual(['NOT_SURE'])
  })
})
