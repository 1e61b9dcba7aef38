import { describe, expect, test } from 'vitest'
import { healthWarnings } from '../../../src/measure/scan/health-warnings.js'
import type { SourceScan } from '../../../src/measure/scan/source-scan.js'

/* Word for word, and at the limits: what is told of a recording by itself (found by `npm run mutants`). */

const sound: SourceScan = {
  sha256: '',
  channels: 1,
  frames: 480_000,
  sampleRateHz: 48_000,
  loudnessLufs: -20,
  rmsDbfs: -22,
  samplePeakDbfs: -3,
  truePeakDbtp: -2.9,
  dcOffset: 0,
  clippedRuns: 0,
  clips: [],
  droppedStretches: 0,
  dropouts: [],
  silent: false,
  deadChannels: [],
  copiedChannels: [],
  sound: { startSeconds: 0, endSeconds: 10 },
  hum: null,
  activity: { tellsTime: true } as unknown as SourceScan['activity'],
  warnings: [],
}
const told = (change: Partial<SourceScan>) =>
  healthWarnings({ ...sound, ...change }).map(({ code, message }) => `${code} ${message}`)

test('a sound recording: nothing; every warning leaves group and source to the caller', () => {
  expect(told({})).toEqual([])
  expect(healthWarnings({ ...sound, dcOffset: 0.01 })[0]).toMatchObject({ group: null, source: null })
})

test('silence, and dead channels only where others play', () => {
  expect(told({ silent: true, samplePeakDbfs: null, deadChannels: [0] })).toEqual([
    'SILENT Nothing but digital silence: this source cannot be measured. Check the patch, the mute and the phantom power of this channel (mute it before you plug or switch), and that the right file is named.',
  ])
  expect(told({ silent: true, samplePeakDbfs: -91.26 })[0]).toMatch(
    /^SILENT Nothing above −91\.3 dBFS: this source/,
  )
  expect(told({ channels: 2, deadChannels: [1] })).toEqual([
    'DEAD_CHANNEL Nothing, or next to nothing, on the right of 2 channels while the others play. A linked set is moved as one, and its dead channel goes into the stem with it. Check the patch and the cable, or choose the good one (channel:).',
  ])
  expect(told({ channels: 2, deadChannels: [0] })[0]).toContain('on the left of 2 channels')
  expect(told({ channels: 4, deadChannels: [0, 3] })[0]).toContain('on channel 1, channel 4 of 4 channels')
})

test('channels that are one track', () => {
  const copied = (channels: number, inverted: boolean) =>
    told({
      channels,
      copiedChannels: [
        { channel: 1, of: 0, inverted },
        ...(channels > 2 ? [{ channel: 2, of: 0, inverted: false }] : []),
      ] as SourceScan['copiedChannels'],
    })
  expect(copied(2, false)).toEqual([
    'COPY_OF_ANOTHER Right holds what left holds. It is one track, not a set, and a blend hears it so. Name one of them (channel:), or find the file that was meant.',
  ])
  expect(copied(3, true)).toEqual([
    'COPY_OF_ANOTHER Channel 2 holds what channel 1 holds, turned over; channel 3 holds what channel 1 holds. Played in mono they cancel. Name one of them (channel:), or find the file that was meant.',
  ])
})

describe('clipping', () => {
  const clipped = (level: number, change: Partial<SourceScan> = {}) =>
    told({
      clippedRuns: 2,
      clips: [{ startFrame: 48_000 * 62.345, frames: 9, level }] as unknown as SourceScan['clips'],
      samplePeakDbfs: 0,
      truePeakDbtp: 0.52,
      ...change,
    })

  test('at full scale, with what lies between the samples', () => {
    expect(clipped(-1)).toEqual([
      'CLIPPED Clipped in 2 places, first at 1:02.345, true peak 0.5 dBTP. Nothing was repaired. Listen there; record again with less gain, or replace the notes from another take.',
    ])
    expect(clipped(1, { clippedRuns: 1, truePeakDbtp: 0.1 })[0]).toMatch(
      /^CLIPPED Clipped in 1 place, first at 1:02\.345\. Nothing/,
    )
    expect(clipped(1, { truePeakDbtp: null })[0]).toContain('1:02.345. Nothing')
  })

  test('below it, from 0.01 dB on', () => {
    expect(clipped(0.5)[0]).toContain(
      'first at 1:02.345, flat at −6.0 dBFS: clipped earlier in the chain and turned down since, or a sound that is square by nature. Nothing',
    )
    expect(clipped(0.9995)[0]).not.toContain('flat at')
    expect(clipped(0.998)[0]).toContain('flat at')
  })
})

test('an offset from −54 dBFS on, in what lasts a second', () => {
  expect(told({ dcOffset: -0.0123 })).toEqual([
    'DC_OFFSET The wave stands off zero by -1.23 % of full scale (−38.2 dBFS). Measuring leaves it out and the stem keeps it; it costs headroom and clicks at cuts. Take it off with a high-pass of a few hertz in the mix, and have the converter or preamp looked at.',
  ])
  expect(told({ dcOffset: 0.002 })).toHaveLength(1)
  expect(told({ dcOffset: 0.00199 })).toHaveLength(0)
  expect(told({ dcOffset: 0.01, frames: 48_000 })).toHaveLength(1)
  expect(told({ dcOffset: 0.01, frames: 47_999 })).toHaveLength(0)
})

test('hum within 50 dB of the sound, with its cautions', () => {
  const hum = (levelDbfs: number, rmsDbfs: number | null = -22) =>
    told({ hum: { frequencyHz: 50, levelDbfs }, rmsDbfs })
  expect(hum(-64.5)).toEqual([
    'HUM Mains hum of 50 Hz at −64.5 dBFS between the notes. For the next take: ground lift on the DI box, another cable, a balanced line, more distance and another angle to transformers, dimmers and power supplies. Never defeat the mains safety earth; leave mains wiring to licensed people under the local code.',
  ])
  expect(hum(-72)).toHaveLength(1)
  expect(hum(-72.1)).toHaveLength(0)
  expect(hum(-10, null)).toHaveLength(0)
})

test('samples that are lost', () => {
  const dropped = (kind: string, frames: number, droppedStretches: number) =>
    told({
      droppedStretches,
      dropouts: [{ kind, frames, startFrame: 480 }] as unknown as SourceScan['dropouts'],
    })
  expect(dropped('zeros', 1, 1)).toEqual([
    'DROPPED_SAMPLES Samples seem to be lost in 1 place, first at 0:00.010: 1 frame of digital silence inside sound. From there on this source may be early or late against the others. Listen there; look at clock, buffer size and disk of the recorder before the next take.',
  ])
  expect(dropped('repeat', 64, 3)[0]).toContain(
    'in 3 places, first at 0:00.010: 64 frames that repeat those before. From',
  )
})
