import { describe, expect, it } from 'vitest'
import type { Look } from '../../src/report/listen/choose-passage.js'
import { framesOfLook } from '../../src/report/listen/looks-task.js'
import { passageAsk, placeOf } from '../../src/report/listen/passage-ask.js'
import type { PassageInput } from '../../src/report/listen/passage-task.js'
import { passagesOf } from '../../src/report/listen/passages-of.js'
import { MOST_TEXT_BYTES, textBytes } from '../../src/report/listen/room.js'
import { reportTasks } from '../../src/report/tasks.js'
import { inProcess } from '../../src/terms/task.js'
import { lanternStreet } from './fixture.js'

const { session, plan } = lanternStreet
const RATE = 48000
const SOURCES = 7

/** Looks at a song in which nothing happens until look 61. */
const looksAt = (frames: number): readonly Look[] =>
  Array.from({ length: Math.ceil(frames / framesOfLook(RATE)) }, (_, i) => ({
    sourceDb: [-20, -20],
    recordedDb: i > 60 ? -26 : -20,
    deliveredDb: -20,
  }))

/** The tasks with recordings that take so many bytes a second packed, counting how often they are asked for. */
const packingTo = (bytesPerSecond: number) => {
  const lengths: number[] = []
  const tasks = {
    ...inProcess(reportTasks),
    passageLooks: ({ startFrame, endFrame }: { startFrame: number; endFrame: number }) =>
      Promise.resolve(looksAt(endFrame - startFrame)),
    passageRoom: ({ frames }: PassageInput) => {
      lengths.push(frames / RATE)
      return Promise.resolve(Math.round((frames / RATE) * bytesPerSecond))
    },
    passage: ({ recording, frames, startFrame }: PassageInput) => {
      lengths.push(frames / RATE)
      return Promise.resolve({
        source: recording.key,
        channels: 1,
        coding: 's24' as const,
        startFrame,
        frames,
        bytes: new Uint8Array(Math.round((frames / RATE) * bytesPerSecond)),
      })
    },
  }
  return { tasks, lengths }
}

describe('how long the passages are', () => {
  it.each([
    ['quiet recordings of 24 bit', 72_000, 20],
    ['loud recordings of 24 bit, or two channels of less', 144_000, 14.5],
    ['recordings of 96 kHz', 288_000, 7.2],
  ])('%s: as long as fits the page, and hardly shorter', async (_, bytesPerSecond, about) => {
    const { tasks, lengths } = packingTo(bytesPerSecond)
    const { listens, bytes } = await passagesOf(session, plan, tasks)
    const held = [...bytes.values()]
    const room = held.reduce((sum, one) => sum + textBytes(one.length), 0)
    expect(held).toHaveLength(SOURCES)
    expect(room).toBeLessThanOrEqual(MOST_TEXT_BYTES)
    const seconds = [...listens.values()].map(({ frames }) => frames / RATE)
    expect(seconds).toHaveLength(3)
    for (const one of seconds) {
      expect(one).toBe(seconds[0])
      expect(one).toBeGreaterThan(0.95 * about)
      expect(one).toBeLessThanOrEqual(Math.min(20, 1.05 * about))
    }
    // No more than one try that was too long.
    expect(new Set(lengths).size).toBeLessThanOrEqual(2)
    expect(lengths.length).toBeLessThanOrEqual(2 * SOURCES)
  })

  it('leaves the room that the whole song takes', async () => {
    const { tasks } = packingTo(144_000)
    const { bytes } = await passagesOf(session, plan, tasks, { roomBytes: 10e6 })
    const room = [...bytes.values()].reduce((sum, one) => sum + textBytes(one.length), 0)
    expect(room).toBeLessThanOrEqual(10e6)
    expect(room).toBeGreaterThan(9e6)
  })

  it('however many recordings there are, they can be judged: not under 4 s', async () => {
    const { tasks, lengths } = packingTo(5e6)
    const { listens } = await passagesOf(session, plan, tasks)
    expect([...listens.values()].map(({ frames }) => frames / RATE)).toEqual([4, 4, 4])
    expect(lengths.length).toBeGreaterThan(0)
  })
})

describe('where they lie', () => {
  const wished = {
    ...session,
    deliver: { ...session.deliver, report: { listen: { startSeconds: 3, endSeconds: 7 }, dated: false } },
  }

  it('where the recipe says, never longer than it wishes', () => {
    const ask = passageAsk(wished, plan, wished.groups[0]!)!
    expect(ask).toMatchObject({ chosenBy: 'recipe', wishedSeconds: 4 })
    const place = placeOf(ask, looksAt(4 * RATE), 20)
    expect([place.startFrame, place.frames]).toEqual([3 * RATE, 4 * RATE])
    expect(placeOf(ask, looksAt(4 * RATE), 2.5)).toMatchObject({ startFrame: 3 * RATE, frames: 2.5 * RATE })
  })

  it('else where lining up changes most, as long as is asked', () => {
    const ask = passageAsk(session, plan, session.groups[0]!)!
    expect(ask.chosenBy).toBe('change')
    const place = placeOf(ask, looksAt(ask.timelineFrames), 10)
    // Look 61 is the first of those in which something changes.
    expect(place.startFrame).toBe(61 * framesOfLook(RATE))
    expect(place.frames).toBe(10 * RATE)
    expect(place.loudestDifferenceFrame).toBe(0)
  })
})
