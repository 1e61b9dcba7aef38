import { expect, test } from 'vitest'
import { barLine, progressBar, wholeLine } from '../../src/cli/progress/bar.js'
import { plainProgress } from '../../src/cli/progress/plain-lines.js'
import { songsProgress } from '../../src/cli/progress/songs-progress.js'
import { leftText } from '../../src/cli/progress/time-left.js'
import type { Terminal } from '../../src/cli/terminal.js'
import type { Stage } from '../../src/jobs/progress.js'

const terminal = (): Terminal & { text: string } => ({
  text: '',
  write(text) {
    this.text += text
  },
  isTerminal: true,
  colour: false,
  width: () => 80,
})
const stage: Stage = { song: 'Lantern Street', doing: 'measuring', audioSeconds: 200 }

test('the bar tells song, what is done and percent, and is never wider than the terminal', () => {
  expect(barLine(stage, 100, 79, false)).toBe(
    'Lantern Street  measuring           ■■■■■■■■■■■■············  50 %',
  )
  for (const columns of [40, 52, 60, 79, 200]) {
    for (const done of [0, 3, 199, 200, 900]) {
      expect(barLine(stage, done, columns, false).length).toBeLessThanOrEqual(columns)
    }
  }
  expect(barLine({ ...stage, song: 'x'.repeat(300) }, 1, 79, false).length).toBeLessThanOrEqual(79)
})

test('an estimate that was short never shows as done', () => {
  expect(barLine(stage, 500, 79, false)).toContain('99 %')
  expect(barLine({ ...stage, audioSeconds: null }, 5, 79, false)).toBe('Lantern Street  measuring …')
})

test('the bar takes itself away at the end, and before others print', () => {
  const screen = terminal()
  const bar = progressBar(screen)
  bar.stage(stage)
  bar.hide()
  expect(screen.text.endsWith('\r\u001b[K')).toBe(true)
  bar.advance(1)
  const before = screen.text
  bar.end()
  bar.end()
  expect(screen.text.length - before.length).toBeLessThanOrEqual('\r\u001b[K'.length)
  expect(screen.text.endsWith('\r\u001b[K')).toBe(true)
})

test('elsewhere there is a plain line per stage, without control characters', () => {
  const log = terminal()
  const lines = plainProgress(log)
  lines.stage(stage)
  for (let i = 0; i < 1000; i += 1) lines.advance(0.2)
  lines.stage({ song: 'Lantern Street', doing: 'rendering', audioSeconds: null })
  lines.end()
  expect(log.text).toBe('Lantern Street: measuring\nLantern Street: rendering\n')
})

const timed = (works: readonly number[], writes = false) => {
  const clock = { now: 0 }
  const songs = songsProgress(
    works,
    writes,
    () => undefined,
    () => clock.now,
  )
  return { songs, clock }
}

test('of one song the time left is told as soon as there is ground for it', () => {
  const { songs, clock } = timed([500])
  const song = songs.song(0)
  song.stage({ ...stage, doing: 'checking' })
  expect(songs.whole()).toMatchObject({ share: 0, secondsLeft: null })
  clock.now = 10
  song.advance(50)
  expect(songs.whole().secondsLeft).toBeCloseTo(30, 9)
  expect(wholeLine(songs.whole(), 79, false)).toBe(
    'Lantern Street  checking            ■■■■■■··················  25 %  30 s left',
  )
  song.end()
  expect(songs.whole()).toMatchObject({ share: 1, ended: 1, secondsLeft: null })
})

test('the stages of a render follow each other without a step back', () => {
  const { songs } = timed([1], true)
  const song = songs.song(0)
  const shares: number[] = []
  for (const doing of [
    'measuring',
    'measuring takes',
    'planning',
    'rendering',
    'writing the report',
  ] as const) {
    song.stage({ song: 'Lantern Street', doing, audioSeconds: 10 })
    for (let i = 0; i < 15; i++) {
      shares.push(songs.whole().share!)
      song.advance(1)
    }
  }
  expect(shares).toEqual([...shares].sort((a, b) => a - b))
  expect(shares[0]).toBe(0)
  expect(shares[shares.length - 1]).toBeGreaterThan(0.95)
})

test('of several songs at once it is told how many are done and how long the rest takes; a long one at the end is expected', () => {
  const { songs, clock } = timed([10, 10, 40])
  const [first, second] = [songs.song(0), songs.song(1)]
  first.stage({ ...stage, song: 'One', doing: 'checking' })
  second.stage({ ...stage, song: 'Two', doing: 'checking' })
  clock.now = 30
  first.end()
  expect(songs.whole()).toMatchObject({ of: 3, ended: 1 })
  expect(songs.whole().secondsLeft).toBeCloseTo(150, 9)
  second.end()
  songs.song(2).stage({ ...stage, song: 'Three', doing: 'checking' })
  clock.now = 60
  expect(songs.whole().secondsLeft).toBeCloseTo(120, 9)
  expect(wholeLine(songs.whole(), 79, false)).toContain('■■■■■■■■················  33 %  2 min left')
  const several = { ...songs.whole(), atWork: [1, 2, 3].map(() => ({ stage, doneSeconds: 0 })) }
  expect(wholeLine(several, 100, false)).toContain('2 of 3 done  Lantern Street  measuring, and 2 more')
  for (const columns of [20, 40, 60, 79]) {
    expect(wholeLine(several, columns, false).length).toBeLessThanOrEqual(columns)
  }
})

test('one bar and plain lines tell all songs in one place', () => {
  const screen = terminal()
  const bar = progressBar(screen)
  const onBar = bar.songs([1, 1], false)
  onBar.song(0).stage({ ...stage, song: 'One' })
  onBar.song(1).stage({ ...stage, song: 'Two' })
  expect(screen.text.split('\r\u001b[K').at(-1)).toMatch(/^0 of 2 done {2}One {2}measuring, and 1 more/)
  const log = terminal()
  const inLog = plainProgress(log).songs([1, 1], false)
  const one = inLog.song(0)
  one.stage({ ...stage, song: 'One' })
  inLog.song(1).stage({ ...stage, song: 'Two' })
  one.end()
  inLog.song(1).stage({ ...stage, song: 'Two', doing: 'planning' })
  expect(log.text).toBe(
    '0 of 2 done: One: measuring\n0 of 2 done: Two: measuring\n1 of 2 done: Two: planning\n',
  )
})

test('time left is told in words', () => {
  const told = [null, 3, 61, 120, 9000].map(leftText)
  expect(told).toEqual(['', 'a moment left', '60 s left', '2 min left', '2 h 30 min left'])
})
