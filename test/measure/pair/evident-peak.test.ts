import { describe, expect, test } from 'vitest'
import { coarsePass } from '../../../src/measure/group/coarse-pass.js'
import { pairOf } from '../../../src/measure/group/gather.js'
import { referencePairs, tracesOf } from '../../../src/measure/group/traces.js'
import { bestFirst } from '../../../src/measure/pair/evident-peak.js'
import { searchLags } from '../../../src/measure/pair/search.js'
import { inPlace } from '../../corpus/in-place.js'
import { falling, lowBand, noisePair } from '../../corpus/noise-pair.js'

/*
 * Noise that falls by 6 dB per octave above 200 Hz, for a second, with as much white noise in each track: a search that knew the coherence would
 * see the lag ten times over the rms of its curve (docs/measuring.md), a vote of all bins is lost in thousands that share nothing.
 */

const FRAMES = 48000
const SEARCH = 1922

const searched = async (seed: string, snrDb: number, gain: (hz: number) => number) => {
  const { reference, source, lagSamples } = noisePair(seed, FRAMES, snrDb, gain)
  const member = (name: string) => ({ name, channels: 1, frames: FRAMES, startFrame: 0 })
  const task = {
    ...{ sampleRateHz: 48000, members: [member('a'), member('b')], reference: 0 },
    ...{ searchSeconds: 0.04, passage: null },
  }
  const traces = tracesOf(task)
  const { gathered } = await coarsePass(
    task,
    inPlace([[reference], [source]]),
    traces,
    referencePairs(traces, 0),
  )
  const { sums } = pairOf(gathered, 0)
  const found = searchLags(sums, SEARCH)
  return { lagSamples, found, best: bestFirst(sums, found, found.peaks) }
}

describe('where no peak of the search stands out', () => {
  test('the one goes first at which the broad sound is most evident', async () => {
    const trials = 24
    let byVote = 0
    let byEvidence = 0
    for (let trial = 0; trial < trials; trial++) {
      const { lagSamples, found, best } = await searched(`evident ${trial}`, 0, falling)
      const isRight = (peak: (typeof best)[number] | undefined): boolean =>
        peak !== undefined && peak.sign === 1 && Math.abs(peak.lagSamples - lagSamples) < 24
      if (isRight(found.peaks[0])) byVote++
      if (isRight(best[0])) byEvidence++
      expect([...best].sort((a, b) => b.mass - a.mass)).toEqual(found.peaks)
    }
    expect(byVote).toBeLessThan(0.7 * trials)
    expect(byEvidence).toBeGreaterThanOrEqual(0.75 * trials)
  })

  test('a clear peak stays where it is, and so does the order without any evidence', async () => {
    const clear = await searched('clear', 20, lowBand)
    expect(clear.best).toBe(clear.found.peaks)
    const unrelated = await searched('unrelated', -60, falling)
    expect(unrelated.best[0]).toBe(unrelated.found.peaks[0])
    expect(unrelated.found.peaks.length).toBeGreaterThan(10)
  })
})
