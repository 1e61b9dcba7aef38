import { describe, expect, it } from 'vitest'
import { summaryText } from '../../src/report/terminal/summary-text.js'
import { textWidth, wrapped } from '../../src/terms/text-width.js'
import { lanternReport } from './fixture.js'

const text = (columns: number, colour = false): string =>
  summaryText(lanternReport(), { columns, colour, reportShown: 'stems/report.html' })

describe('the summary in a terminal', () => {
  it.each([80, 100, 160])('fits one screen of %i columns', columns => {
    const lines = text(columns).trimEnd().split('\n')
    expect(lines.length).toBeLessThanOrEqual(30)
    for (const line of lines) expect(textWidth(line), line).toBeLessThanOrEqual(columns)
  })

  it('says lag in ms and frames with its uncertainty, air, polarity, verdict, and what was done', () => {
    expect(text(100)).toContain('bridge   +1.99 ms   +95.3 ± 2.1 fr  0.68 m  normal    sure  forward\n')
    expect(text(100)).toContain(
      'room     +7.67 ms  +368.2 ± 4.4 fr  2.64 m  inverted  sure  forward, inverted\n',
    )
  })

  it('says what changed in each blend, the warnings, and where the report is', () => {
    const said = text(100)
    for (const blend of ['bass', 'bass-roomy', 'snare', 'guitar'])
      expect(said).toMatch(new RegExp(`^ {2}${blend} `, 'm'))
    expect(said).toContain('low end 60–250 Hz: +4.1 dB')
    expect(said.match(/^! /gm)).toHaveLength(3)
    expect(said.endsWith('stems/report.html\n')).toBe(true)
  })

  it('says by how much a group that waits is late against the rest of the song', () => {
    const report = lanternReport()
    const groups = report.groups.map((group, i) => (i === 0 ? { ...group, lateSamples: 368 } : group))
    const said = summaryText({ ...report, groups }, { columns: 100, colour: false, reportShown: null })
    expect(said).toContain('\n  the whole group is now 7.67 ms late against the rest of the song\n')
    expect(text(100)).not.toContain('late against the rest')
  })

  it('has escapes only when colour is wanted, and says the same', () => {
    const escape = String.fromCharCode(27)
    expect(text(100)).not.toContain(escape)
    expect(text(100, true)).toContain(escape)
    expect(text(100, true).replaceAll(new RegExp(`${escape}\\[\\d+m`, 'g'), '')).toBe(text(100))
  })
})

describe('wrapped', () => {
  it('breaks at spaces, keeps every word, and lets a long word stand alone', () => {
    expect(wrapped('a bb ccc dddddddd e', 6)).toEqual(['a bb', 'ccc', 'dddddddd', 'e'])
    expect(wrapped('', 10)).toEqual([''])
  })
})
