import { createWave } from '../../src/wave/wave-writer.js'

// Writes one stem in a process of its own and stands still at the place that is named, until it is killed.
const [path, place] = process.argv.slice(2)

const standStillAt = (here: string): void => {
  if (here !== place) return
  process.stdout.write(`${here}\n`)
  Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0)
}

const block = [new Float64Array(50_000).fill(0.5)]
const writer = createWave({
  path: path!,
  sampleRateHz: 48000,
  channels: 1,
  frames: 100_000,
  depth: 24,
  metadata: { description: 'new', stampSamples: null, originator: 'Sumwell', codingHistory: [] },
})
standStillAt('opened')
writer.write(block, 50_000)
standStillAt('half')
writer.write(block, 50_000)
standStillAt('all')
writer.commit()
standStillAt('committed')
