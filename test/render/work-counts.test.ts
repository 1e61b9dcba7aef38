import fs, { mkdtempSync, rmSync, statSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, expect, test, vi } from 'vitest'
import { TpdfQuantiser } from '../../src/signal/dither.js'
import { RealFft } from '../../src/signal/fft.js'
import { seededRandom } from '../../src/signal/random.js'
import { SingleFft } from '../../src/signal/single-fft.js'
import { createWave } from '../../src/wave/wave-writer.js'
import { rendered } from '../browser/heard-song.js'

/*
 * How much work a render does, counted and not timed: a reading or a transform too many is seen here on any machine, however loaded.
 * Limits: what was counted when this was written, and a tenth more.
 */

const RATE = 48000
/** Long enough for the coarse search to look at a part only. */
const SECONDS = 80
const SOURCES = 3
const folder = mkdtempSync(join(tmpdir(), 'sumwell-work-'))
afterAll(() => {
  rmSync(folder, { recursive: true, force: true })
})

const writeSources = (): readonly string[] => {
  const random = seededRandom('work counts')
  const sound = Float64Array.from({ length: SECONDS * RATE }, () => 0.2 * (random() - 0.5))
  return Array.from({ length: SOURCES }, (_, s) => {
    const file = join(folder, `source-${s}.wav`)
    const late = new Float64Array(sound.length)
    late.set(sound.subarray(0, sound.length - 100 * s), 100 * s)
    new TpdfQuantiser(24, 1, file.slice(-8)).quantise([late])
    const writer = createWave({
      path: file,
      sampleRateHz: RATE,
      channels: 1,
      frames: late.length,
      depth: 24,
      metadata: { description: '', originator: 'Sumwell', stampSamples: null, codingHistory: [] },
    })
    writer.write([late], late.length)
    writer.commit()
    return file
  })
}

test('a render reads its sources so many times and no more, and takes so many transforms a second of them', async () => {
  const files = writeSources()
  const recipe = join(folder, 'recipe.yaml')
  writeFileSync(
    recipe,
    `recipe: 1
song: Work
groups:
  noise:
    reference: a
    sources:
${['a', 'b', 'c'].map((name, s) => `      ${name}: { file: source-${s}.wav }`).join('\n')}
    blends:
      all: { parts: { a: 40, b: 30, c: 30 } }
deliver: { folder: stems, depth: 24, stems: all }
`,
  )
  const reads = vi.spyOn(fs, 'readSync')
  const double = vi.spyOn(RealFft.prototype, 'forward')
  const single = vi.spyOn(SingleFft.prototype, 'forward')
  const song = await rendered(recipe, false)
  const bytesRead = reads.mock.results.reduce((sum, result) => sum + Number(result.value), 0)
  const sourceBytes = files.reduce((sum, file) => sum + statSync(file).size, 0)
  expect(song.rendered).toHaveLength(SOURCES + 1)
  expect(bytesRead / sourceBytes).toBeGreaterThan(5)
  // One and a third of it are the stems, read back for their checksums: their loudness is written into the header at the end.
  expect(bytesRead / sourceBytes).toBeLessThan(12.2)
  const transforms = double.mock.calls.length + single.mock.calls.length
  expect(transforms / (SOURCES * SECONDS)).toBeLessThan(27)
  // Spectra that are only averaged are in single precision: what is left is a pair's search and the hum.
  expect(double.mock.calls.length / (SOURCES * SECONDS)).toBeLessThan(0.4)
})
