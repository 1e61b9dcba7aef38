import { describe, expect, test } from 'vitest'
import { planText } from '../../src/decide/plan-text.js'
import { tableLines, wrap } from '../../src/decide/text-table.js'
import { blend, file, group, inner, planOf, surveyOf } from './setting/song.js'

const song = () =>
  planOf(
    [
      group(
        'upright-bass',
        [
          file('piezo'),
          file('bridge', { lagSamples: 95.31, loudnessLufs: -23.2 }),
          file('room', { lagSamples: 364, polarity: 'inverted' }, { nudgeSamples: 144 }),
          file('far', { lagSamples: null, verdict: 'unknown', lagVerdict: 'unknown', coherence: 0.04 }),
        ],
        {
          blends: [
            blend('bass', { piezo: 55, bridge: 45 }),
            blend('raw', { piezo: '0 dB', room: '-9 dB' }, { aligned: false, match: 'none' }),
          ],
        },
      ),
      group('kick', [file('in'), file('out', { lagSamples: 30 })], { align: { hold: 'latest' } }),
      group('kit', [file('top'), inner('kick', 'kick', { lagSamples: -12 })]),
    ],
    {},
    surveyOf(
      {},
      {
        'upright-bass/room': { frames: 220, peakDbfs: -23.44 },
        'upright-bass/bridge': { frames: 96, peakDbfs: null },
      },
    ),
  )

describe('the plan as a table', () => {
  test('says per source what is done and why, in 100 columns', async () => {
    const text = planText(await song())
    const lines = text.split('\n')
    for (const line of lines) expect([line, line.length]).toEqual([line, Math.min(100, line.length)])
    expect(lines.find(line => line.includes('/piezo'))).toMatch(
      /upright-bass\/piezo\s+0\s+0\.000\s+normal\s+reference: untouched bits/,
    )
    expect(lines.find(line => line.includes('/bridge'))).toMatch(
      /−95\.31\s+−1\.986\s+normal\s+late by 1\.986 ms, sure/,
    )
    expect(lines.find(line => line.includes('/room'))).toMatch(
      /−220\s+−4\.583\s+inverted\s+late by 7\.583 ms, sure; polarity inverted;/,
    )
    expect(lines.find(line => line.includes('/far'))).toMatch(
      / 0\s+0\.000\s+normal\s+lag unknown \(coherence 0\.04\): as recorded/,
    )
    const flowing = text.replace(/\s+/g, ' ')
    expect(flowing).toContain('left late by 3.000 ms on purpose')
    expect(flowing).toContain('(up to −23.4 dBFS) cut off at the start')
    expect(flowing).toContain('first 2.000 ms of silence cut off at the start')
    expect(flowing).toContain('with kick in kit: early by 0.250 ms, sure')
    expect(flowing).toContain('kick as a whole now is 0.625 ms late against the rest of the song.')
    expect(flowing).toContain('piezo 55 %, bridge 45 % (+3.2 dB to match)')
    expect(flowing).toContain('as recorded: piezo 0.0 dB, room −9.0 dB')
    expect(flowing).toContain('frames (10.000 s at 48000 Hz), no time stamp.')
  })

  test('prints as JSON and comes back the same', async () => {
    const plan = await song()
    expect(JSON.parse(JSON.stringify(plan))).toEqual(plan)
  })

  test('is the same every time', async () => {
    expect(JSON.stringify(await song())).toBe(JSON.stringify(await song()))
  })
})

describe('tables', () => {
  test('wrap at spaces, and long words in the middle', () => {
    expect(wrap('one two three', 7)).toEqual(['one two', 'three'])
    expect(wrap('abcdefghij kl', 4)).toEqual(['abcd', 'efgh', 'ij', 'kl'])
    expect(wrap('', 4)).toEqual([''])
  })

  test('columns are as wide as they need, the last takes the rest', () => {
    const columns = [
      { title: 'a', align: 'left', widest: 3 },
      { title: 'n', align: 'right', widest: 9 },
      { title: 'text', align: 'left', widest: 99 },
    ] as const
    expect(tableLines(columns, [['abcd', '12', 'one two three']], 19)).toEqual([
      'a     n  text',
      'abc  12  one two',
      'd        three',
    ])
  })
})
