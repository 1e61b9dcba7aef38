import { describe, expect, it } from 'vitest'
import { notesThatLostMost, passageOf } from '../../src/report/words/lost-notes.js'
import { lanternReport } from './fixture.js'

const group = lanternReport().groups[0]!
const tone = group.blends[0]!.tone!
const note = (name: string, lossBeforeDb: number, energyShare: number, soundsAtSeconds: number[]) => ({
  midi: 30,
  name,
  frequencyHz: 46.2,
  energyShare,
  lossBeforeDb,
  lossAfterDb: 0.4,
  soundsAtSeconds,
})

describe('the notes that lost most', () => {
  it('tells the worst by what they lost and weigh, in the order of time, where the page can play them', () => {
    const told = notesThatLostMost(
      {
        ...tone,
        semitones: [
          note('E1', 3, 0.1, [2, 72]),
          note('F♯1', 7.8, 0.3, [12, 72.4]),
          note('G1', 0.9, 0.4, [1]),
          note('A1', 2, 0.01, []),
          note('B1', 2, 0.2, [80.8]),
        ],
      },
      { startSeconds: 70, endSeconds: 81 },
    )
    expect(told.map(({ name, atSeconds }) => [name, atSeconds])).toEqual([
      ['A1', null],
      ['E1', 72],
      ['F♯1', 72.4],
      // Too near to the end of the passage, and nowhere else: told all the same.
      ['B1', 80.8],
    ])
    expect(told[2]).toMatchObject({ lossBeforeDb: 7.8, lossAfterDb: 0.4 })
  })

  it('tells five at most, and without a passage the first time of each', () => {
    const semitones = Array.from({ length: 9 }, (_, i) => note(`n${i}`, 2 + i, 0.1, [90 - i, 95]))
    const told = notesThatLostMost({ ...tone, semitones }, null)
    expect(told.map(({ atSeconds }) => atSeconds)).toEqual([82, 83, 84, 85, 86])
  })

  it('knows the passage of a group on the timeline of the stems', () => {
    expect(passageOf(group)).toEqual({ startSeconds: 4, endSeconds: 19 })
    expect(passageOf(lanternReport().groups[1]!)).toBeNull()
  })
})
