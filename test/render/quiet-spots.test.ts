import path from 'node:path'
import { describe, expect, test } from 'vitest'
import { noise } from '../signal/signals.js'
import { newFolder, take, tasks } from './setting/takes.js'

const RATE = 48000

describe('the quietest place in a stretch', () => {
  const folder = newFolder()
  const sound = noise('notes', 2 * RATE, 0.5)
  sound.fill(0, 0.5 * RATE, 0.6 * RATE) // a rest of 100 ms, and a longer one
  sound.fill(0, 1.2 * RATE, 1.5 * RATE)
  take(folder, 'notes', [sound])
  const spot = (startSeconds: number, endSeconds: number, lengthSeconds: number) =>
    tasks.surveyQuiet({
      file: path.join(folder, 'notes.wav'),
      selection: { kind: 'all' },
      startSeconds,
      endSeconds,
      lengthSeconds,
    })

  test('is the middle of the first rest that is long enough', async () => {
    expect(await spot(0.2, 1.8, 0.1)).toBeCloseTo(0.55, 3)
    expect(await spot(0.2, 1.8, 0.2)).toBeCloseTo(1.3, 3)
    expect(await spot(0.8, 1.8, 0.1)).toBeCloseTo(1.25, 3)
  })

  test('where no rest is long enough: the one that leaves least sound', async () => {
    const middle = await spot(0.2, 0.9, 0.3)
    expect(Math.abs(middle - 0.55)).toBeLessThan(0.11)
  })

  test('a stretch shorter than the place gives its own middle; outside the file it is quiet', async () => {
    expect(await spot(0.2, 0.3, 0.5)).toBe(0.25)
    expect(await spot(1.9, 2.6, 0.1)).toBeCloseTo(2.05, 2)
  })
})
