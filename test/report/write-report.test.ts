import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, describe, expect, it } from 'vitest'
import { handoffOf } from '../../src/report/handoff-of.js'
import { pageOf } from '../../src/report/page-of.js'
import type { Report } from '../../src/report/report.js'
import { reportJson, writeReport } from '../../src/report/write-report.js'
import { lanternReport } from './fixture.js'

const folders: string[] = []
const folder = (): string => {
  const made = mkdtempSync(join(tmpdir(), 'sumwell-report-'))
  folders.push(made)
  return made
}
afterEach(() => {
  for (const made of folders.splice(0)) rmSync(made, { recursive: true, force: true })
})

describe('writeReport', () => {
  it('leaves the report, the page and the hand-off sheet, and nothing else', () => {
    const into = folder()
    const written = writeReport(into, lanternReport(), new Map())
    expect(readdirSync(into).sort()).toEqual(['handoff.md', 'report.html', 'report.json'])
    expect(readFileSync(written.json, 'utf8')).toBe(reportJson(lanternReport()))
    expect(readFileSync(written.handoff, 'utf8')).toBe(handoffOf(lanternReport()))
    expect(readFileSync(written.page, 'utf8')).toBe(pageOf(lanternReport()))
  })

  it('the page can be drawn again from report.json alone', () => {
    const read = JSON.parse(reportJson(lanternReport())) as Report
    expect(pageOf(read)).toBe(pageOf(lanternReport()))
  })

  it('keeps lists of numbers on one line and loses nothing by it', () => {
    const text = reportJson(lanternReport())
    expect(JSON.parse(text)).toEqual(JSON.parse(JSON.stringify(lanternReport())))
    expect(text.split('\n').length).toBeLessThan(5000)
    const hostile = { ...lanternReport(), song: '[\n 1,\n 2\n]' }
    expect((JSON.parse(reportJson(hostile)) as Report).song).toBe(hostile.song)
  })
})
