import { expect, test } from 'vitest'
import { barLine, progressBar } from '../../src/cli/progress/bar.js'
import { plainProgress } from '../../src/cli/progress/plain-lines.js'
import { placeText, timeLeft } from '../../src/cli/progress/time-left.js'
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

test('of several songs the number and the time left are told, and a long song at the end is expected', () => {
  let now = 0
  const left = timeLeft([10, 10, 40], () => now)
  expect(left(0)).toBeNull()
  now = 30
  expect(left(1)).toBe(150)
  now = 60
  expect(left(2)).toBe(120)
  expect(placeText(null, 0)).toBe('')
  expect(placeText({ number: 1, of: 3, secondsLeft: null }, 0)).toBe('1/3')
  expect(placeText({ number: 3, of: 3, secondsLeft: 120 }, 0)).toBe('3/3, 2 min left')
  expect(placeText({ number: 3, of: 3, secondsLeft: 120 }, 60)).toBe('3/3, 60 s left')
  expect(placeText({ number: 3, of: 3, secondsLeft: 120 }, 500)).toBe('3/3, a moment left')
  expect(placeText({ number: 3, of: 40, secondsLeft: 9000 }, 0)).toBe('3/40, 2 h 30 min left')
  expect(barLine(stage, 100, 79, false, '3/40, 12 min left')).toContain('3/40, 12 min left  Lantern')
})
