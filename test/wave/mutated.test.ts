import fs from 'node:fs'
import { expect, test } from 'vitest'
import { SumwellError } from '../../src/terms/fault.js'
import { openWave } from '../../src/wave/wave-file.js'
import { chanceOf } from '../fuzz/chance.js'
import { mutatedBytes } from '../fuzz/mutate-bytes.js'
import { FILES_WITH_EVERY_CHUNK } from './every-chunk.js'
import { temporaryFolder } from './wave-bytes.js'

const folder = temporaryFolder()

/** Header and metadata of a file, changed in one to six places. */
const damaged = (round: number): Uint8Array =>
  mutatedBytes(FILES_WITH_EVERY_CHUNK[round % FILES_WITH_EVERY_CHUNK.length]!, chanceOf(20_260_902, round), {
    within: 1200,
    words: ['data', 'fmt '],
    others: FILES_WITH_EVERY_CHUNK,
    mostChanges: 6,
    mostBytes: 16_384,
  })

test('thousands of damaged headers: opened and read, or a fault that says why; never a crash; a hang ends in the time limit of the test', () => {
  let opened = 0
  const codes = new Map<string, number>()
  for (let round = 0; round < 3000; round++) {
    // A new file each time: cutting an old one to nothing makes some disks flush.
    const path = folder.put(`mutated-${round}.wav`, damaged(round))
    try {
      const file = openWave(path)
      try {
        const { channels, frames } = file.facts
        expect(frames).toBeLessThan(10_000)
        const into = Array.from({ length: channels }, () => new Float64Array(64))
        file.read(-3, into)
        file.read(Math.max(0, frames - 30), into)
        for (const channel of into)
          for (const value of channel) if (!Number.isFinite(value)) throw new Error('not finite')
        opened++
      } finally {
        file.close()
      }
    } catch (error) {
      if (!(error instanceof SumwellError)) throw new Error(`round ${round}`, { cause: error })
      for (const { code, message } of error.faults) {
        codes.set(code, (codes.get(code) ?? 0) + 1)
        expect(message).not.toMatch(/undefined|NaN(?! \()|\[object/)
        if (code === 'WAVE_HEADER') expect(message).toMatch(/\(byte \d+\)$/)
      }
    }
    fs.unlinkSync(path)
  }
  expect(codes.has('INTERNAL')).toBe(false)
  expect(opened).toBeGreaterThan(700)
  // One file of four holds floats, behind most of what is changed.
  expect(codes.get('WAVE_NOT_A_NUMBER') ?? 0).toBeGreaterThan(2)
  for (const code of ['WAVE_NOT_WAVE', 'WAVE_HEADER', 'WAVE_FORMAT', 'WAVE_LIMIT'])
    expect([code, (codes.get(code) ?? 0) > 10]).toEqual([code, true])
})
