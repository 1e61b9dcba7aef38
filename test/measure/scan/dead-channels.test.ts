import { afterAll, expect, test } from 'vitest'
import { deadChannels } from '../../../src/measure/scan/dead-channels.js'
import { scanSource } from '../../../src/measure/scan/scan-source.js'
import { quietContext } from '../../../src/terms/task.js'
import { noise } from '../../signal/signals.js'
import { recordingFolder, waveBytes } from './recordings.js'

const rate = 48000
const folder = recordingFolder()
afterAll(() => {
  folder.remove()
})

test('a lone dead channel inside a linked set is told; the noise of its preamp does not hide it', () => {
  const live = noise('live', rate, 0.1)
  const hiss = noise('hiss', rate, 0.0003)
  const scanned = (channels: readonly Float64Array[]) =>
    scanSource(
      { file: folder.write('set.wav', waveBytes(rate, 24, channels)), selection: { kind: 'all' } },
      quietContext,
    )
  const pair = scanned([live, hiss])
  expect(pair.deadChannels).toEqual([1])
  expect(pair.warnings.map(w => w.code)).toEqual(['DEAD_CHANNEL'])
  expect(pair.warnings[0]!.message).toMatch(/^Nothing, or next to nothing, on the right of 2 channels/)
  const four = scanned([new Float64Array(rate), live, live.map(v => -v), new Float64Array(rate)])
  expect(four.deadChannels).toEqual([0, 3])
  expect(four.warnings[0]!.message).toMatch(/channel 1, channel 4 of 4/)
  // Quieter, but played: 30 dB under the other.
  expect(scanned([live, live.map(v => v * 0.03)]).deadChannels).toEqual([])
  expect(scanned([live]).deadChannels).toEqual([])
})

test('40 dB under the loudest is the limit; where all are silent none is the dead one', () => {
  expect(deadChannels([1, 0.0101])).toEqual([])
  expect(deadChannels([1, 0.0099])).toEqual([1])
  expect(deadChannels([0, 0])).toEqual([])
})
