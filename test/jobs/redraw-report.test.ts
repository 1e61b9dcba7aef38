import { createHash } from 'node:crypto'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, expect, test } from 'vitest'
import { redrawReport } from '../../src/jobs/redraw-report.js'
import type { Report } from '../../src/report/report.js'
import { writeReport } from '../../src/report/write-report.js'
import { SumwellError } from '../../src/terms/fault.js'
import { lanternReport } from '../report/fixture.js'

let folder = ''
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'sumwell-redraw-'))
})
afterEach(() => {
  rmSync(folder, { recursive: true })
})

const BYTES = new Map(
  ['sound-0-0', 'sound-0-1', 'sound-0-2', 'waveform-0-0', 'waveform-0-1', 'waveform-0-2'].map((id, s) => [
    id,
    Uint8Array.from([s, 255, 0, 1, 2, 3, 250]),
  ]),
)

const withSum = <T extends { readonly id: string }>(held: T): T & { readonly sha256: string } => ({
  ...held,
  sha256: createHash('sha256').update(BYTES.get(held.id)!).digest('hex'),
})

/** The report of the demo with checksums that fit the bytes. */
const withSounds = (): Report => {
  const report = lanternReport()
  return {
    ...report,
    groups: report.groups.map(group =>
      group.listen === null || group.waveform === null
        ? group
        : {
            ...group,
            listen: { ...group.listen, sounds: group.listen.sounds.map(withSum) },
            waveform: { ...group.waveform, sources: group.waveform.sources.map(withSum) },
          },
    ),
  }
}

const page = (): string => readFileSync(join(folder, 'report.html'), 'utf8')
const sheet = (): string => readFileSync(join(folder, 'handoff.md'), 'utf8')

test('draws page and sheet again as they were, with the sound of the page that is there', () => {
  writeReport(folder, withSounds(), BYTES)
  const [formerPage, formerSheet, json] = [page(), sheet(), readFileSync(join(folder, 'report.json'))]
  expect(formerPage).toContain('AP8AAQID+g==')
  writeFileSync(join(folder, 'handoff.md'), '')
  expect(redrawReport(folder, { audio: true }).sound).toBe('kept')
  expect(page()).toBe(formerPage)
  expect(sheet()).toBe(formerSheet)
  expect(readFileSync(join(folder, 'report.json')).equals(json)).toBe(true)
})

test('is silent where it is wished, and where the page is not of this report', () => {
  writeReport(folder, withSounds(), BYTES)
  expect(redrawReport(folder, { audio: false }).sound).toBe('left out')
  expect(page()).not.toContain('octet-stream')
  expect(redrawReport(folder, { audio: true }).sound).toBe('missing')
  for (const id of ['sound-0-1', 'waveform-0-2']) {
    writeReport(folder, withSounds(), new Map([...BYTES, [id, new Uint8Array(7)]]))
    expect(redrawReport(folder, { audio: true }).sound).toBe('missing')
  }
  rmSync(join(folder, 'report.html'))
  expect(redrawReport(folder, { audio: true }).sound).toBe('missing')
  expect(page()).toContain('Lantern Street')
})

test.each([
  ['nothing', null, 'there is no report here'],
  ['no JSON', '{', 'no JSON'],
  ['another format', '{"format": 2}', 'format 2'],
  ['another shape', '{"format": 1}', 'no report of this version'],
  ['a list', '[]', 'no report of this version'],
])('%s is told as what it is, and nothing is written', (_, text, said) => {
  if (text !== null) writeFileSync(join(folder, 'report.json'), text)
  let told: unknown = null
  try {
    redrawReport(folder, { audio: true })
  } catch (error) {
    told = error
  }
  expect(told).toBeInstanceOf(SumwellError)
  const [fault] = (told as SumwellError).faults
  expect(fault?.code).toBe('REPORT_UNREADABLE')
  expect(fault?.message).toContain(said)
  expect(() => page()).toThrow()
})
