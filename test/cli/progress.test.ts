import { expect, test } from 'vitest'
import { barLine, progressBar } from '../../src/cli/progress/bar.js'
import { plainProgress } from '../../src/cli/progress/plain-lines.js'
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
