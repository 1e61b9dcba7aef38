import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, expect, test } from 'vitest'
import { writeSlate } from '../../src/jobs/write-slate.js'
import { findSlates } from '../../src/measure/slate/find-slates.js'
import { SumwellError } from '../../src/terms/fault.js'
import { openWave } from '../../src/wave/wave-file.js'

const folder = mkdtempSync(join(tmpdir(), 'sumwell-slate-'))
afterAll(() => {
  rmSync(folder, { recursive: true })
})

test.each([
  [44100, 16],
  [48000, 24],
  [96000, '32f'],
] as const)('at %i Hz, %s bit: the same bytes each time, and found again', (sampleRateHz, depth) => {
  const [one, two] = ['one', 'two'].map(name => join(folder, `${name}-${sampleRateHz}.wav`)) as [
    string,
    string,
  ]
  for (const path of [one, two])
    expect(writeSlate({ path, sampleRateHz, depth, force: false }).seconds).toBe(9)
  expect(readFileSync(one).equals(readFileSync(two))).toBe(true)
  const file = openWave(one)
  const { frames, channels, sampleFormat, bitDepth } = file.facts
  expect([file.facts.sampleRateHz, channels, frames]).toEqual([sampleRateHz, 1, 9 * sampleRateHz])
  expect([bitDepth, sampleFormat]).toEqual(depth === '32f' ? [32, 'float'] : [depth, 'int'])
  const found = findSlates(
    {
      channels,
      read: (start, into) => {
        file.read(start, into)
      },
    },
    0,
    frames,
    sampleRateHz,
  )
  file.close()
  expect(found).toHaveLength(1)
  expect(found[0]!.score).toBeGreaterThan(0.99)
  expect(Math.abs(found[0]!.frame - 0.5 * sampleRateHz)).toBeLessThan(0.001 * sampleRateHz)
})

test('what stands there stays, unless it may be replaced; a name that is no WAVE file is refused', () => {
  const codeOf = (path: string, force: boolean): string => {
    try {
      writeSlate({ path, sampleRateHz: 48000, depth: 24, force })
      return 'written'
    } catch (error) {
      return error instanceof SumwellError ? error.faults[0]!.code : String(error)
    }
  }
  const path = join(folder, 'mine.wav')
  writeFileSync(path, 'a recording')
  expect(codeOf(path, false)).toBe('WRITE_EXISTS')
  expect(readFileSync(path, 'utf8')).toBe('a recording')
  expect(codeOf(path, true)).toBe('written')
  expect(readFileSync(path).subarray(0, 4).toString()).toBe('RIFF')
  expect(codeOf(join(folder, 'mine.txt'), true)).toBe('USAGE_ARGUMENTS')
  expect(readdirSync(folder).filter(name => !name.endsWith('.wav'))).toEqual([])
})
