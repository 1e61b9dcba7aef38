import { describe, expect, it } from 'vitest'
import type { ReportGroup, ReportSource } from '../../src/report/report.js'
import { groupClauses } from '../../src/report/words/source-words.js'
import { sureWords } from '../../src/report/words/sureness.js'
import { lanternReport } from './fixture.js'

const bass = (): ReportGroup => lanternReport().groups[0]!

const changed = (name: string, change: (source: ReportSource) => ReportSource): ReportGroup => {
  const group = bass()
  return { ...group, sources: group.sources.map(s => (s.name === name ? change(s) : s)) }
}

describe('what was wrong and what was done, in a line', () => {
  it('names the path, how late, how far, which way round, and the move', () => {
    expect(groupClauses(bass())).toEqual([
      'bridge mic 1.99 ms late, 0.68 m: pulled forward',
      'room mic 7.67 ms late, 2.64 m, the other way round: pulled forward, inverted',
    ])
    expect(sureWords(bass())).toBe('sure of all 3 sources')
  })

  it('an unsure source is left as recorded, and the line says perhaps', () => {
    const group = changed('room', s => ({
      ...s,
      measured: { ...s.measured, verdict: 'unsure', reason: 'a rival' },
      move: { ...s.move!, shiftSamples: 0, shiftMs: 0, polarity: 'normal' },
    }))
    expect(groupClauses(group)[1]).toBe(
      'room mic perhaps 7.67 ms late, 2.64 m, the other way round: left as recorded',
    )
    expect(sureWords(group)).toBe('unsure of room')
  })

  it('an unknown one has no lag to tell', () => {
    const group = changed('room', s => ({
      ...s,
      measured: { ...s.measured, verdict: 'unknown', reason: null, lagMs: null, lagSamples: null },
      move: { ...s.move!, shiftSamples: 0, shiftMs: 0, polarity: 'normal' },
    }))
    expect(groupClauses(group)[1]).toBe('room mic: lag not known, left as recorded')
    expect(sureWords(group)).toBe('room unknown')
  })

  it('a group inside moves as one, and not at all where that is in doubt', () => {
    const inner = (verdict: 'sure' | 'unsure') =>
      changed('room', s => ({ ...s, fromGroup: 'far', move: null, measured: { ...s.measured, verdict } }))
    expect(groupClauses(inner('sure'))[1]).toMatch(/: moved as one$/)
    expect(groupClauses(inner('unsure'))[1]).toMatch(/: left as recorded$/)
  })

  it('a nudge is told, and a shift that does not undo the lag is told with its size', () => {
    const group = changed('room', s => ({
      ...s,
      stated: { ...s.stated, nudgeSamples: 144 },
      move: { ...s.move!, shiftSamples: -224.2, shiftMs: -4.671 },
    }))
    expect(groupClauses(group)[1]).toMatch(
      /pulled forward 4\.67 ms, inverted, 3\.00 ms left late on purpose$/,
    )
  })

  it('a group that waits for its latest source is told to be late as a whole', () => {
    expect(groupClauses({ ...bass(), lateSamples: 368 }).at(-1)).toBe(
      'the whole group is now 7.67 ms late against the rest of the song',
    )
  })

  it('the reference is told of only where something was done to it', () => {
    const group = changed('piezo', s => ({ ...s, move: { ...s.move!, shiftSamples: 368, shiftMs: 7.667 } }))
    expect(groupClauses(group)[0]).toBe('piezo pickup in time: moved later 7.67 ms')
  })
})
