import fs from 'node:fs'
import { describe, expect, test } from 'vitest'
import wavefile from 'wavefile'
import { codingHistoryLine, type StemMetadata } from '../../src/wave/stem-metadata.js'
import { openWave, type WaveFile } from '../../src/wave/wave-file.js'
import { createWave, type WaveTarget } from '../../src/wave/wave-writer.js'
import {
  ascii,
  type Bytes,
  bextChunk,
  chunk,
  concat,
  integers,
  ixmlChunk,
  le,
  plainFormat,
  riff,
  temporaryFolder,
} from './wave-bytes.js'

const folder = temporaryFolder()
const plain: StemMetadata = {
  description: 'upright bass',
  stampSamples: null,
  originator: 'Sumwell',
  codingHistory: [],
}

const written = (
  metadata: Partial<StemMetadata>,
  more: Partial<WaveTarget> = {},
): WaveFile & { dropped: readonly string[] } => {
  const channels = more.channels ?? 1
  const path = folder.path('stem.wav')
  const frames = more.frames ?? 3
  const target = { path, sampleRateHz: 48000, channels, frames, depth: 24 as const, ...more }
  const writer = createWave({ ...target, metadata: { ...plain, ...metadata } })
  writer.write(
    Array.from({ length: channels }, () => new Float64Array(frames)),
    frames,
  )
  writer.commit()
  const file = openWave(path)
  file.close()
  expect(file.warnings).toEqual([])
  return { ...file, dropped: writer.droppedChunks }
}

const reference = (...chunks: readonly Bytes[]): WaveFile => {
  const bytes = riff(plainFormat(1, 1, 48000, 24), ...chunks, chunk('data', integers([1, 2], 3)))
  const file = openWave(folder.put('reference.wav', bytes))
  file.close()
  return file
}

describe('the time stamp comes back as it was given', () => {
  test.each([null, 0, 1, 2_246_400_000, 4_492_800_000, 2 ** 40 + 12_345])('%s', stampSamples => {
    const file = written({ stampSamples })
    expect(file.facts.stampSamples).toBe(stampSamples)
    expect(file.metadata.broadcast?.timeReference).toBe(BigInt(stampSamples ?? 0))
    expect(file.metadata.ixml?.stamp).toBe(stampSamples === null ? null : BigInt(stampSamples))
  })
})

describe('bext', () => {
  test('texts are ASCII and within their lengths, whatever they were', () => {
    const file = written({ description: `Kontrabaß, Frühling – “naïve” 低音 ${'x'.repeat(300)}\n` })
    expect(file.metadata.broadcast?.description).toBe(
      `Kontrabass, Fruhling - "naive" ?? ${'x'.repeat(300)}`.slice(0, 256),
    )
    expect(file.metadata.ixml?.text).toContain('Kontrabaß, Frühling – “naïve” 低音')
    expect(file.metadata.broadcast?.originator).toBe('Sumwell')
  })

  test('date and coding history of the reference are kept, and lines added', () => {
    const recorded = reference(
      bextChunk({
        originator: 'recorder',
        date: '2026-09-01',
        history: 'A=ANALOGUE,M=mono\r\nA=PCM,F=48000,W=24\r\n',
      }),
    )
    const line = codingHistoryLine(48000, 24, 1, 'Sumwell: -95.31 samples, inverted')
    const { broadcast } = written({ reference: recorded.metadata, codingHistory: [line] }).metadata
    expect(broadcast).toMatchObject({
      originator: 'Sumwell',
      originationDate: '2026-09-01',
      version: 1,
      codingHistory: ['A=ANALOGUE,M=mono', 'A=PCM,F=48000,W=24', line],
    })
    expect(line).toBe('A=PCM,F=48000,W=24,M=mono,T=Sumwell: -95.31 samples; inverted')
  })

  test('loudness fields: negative ones, unused ones, the ends of their range', () => {
    const loudness = {
      integratedLufs: -23.1,
      rangeLu: 0,
      truePeakDbtp: -0.004,
      momentaryLufs: null,
      shortTermLufs: -400,
    }
    const { broadcast } = written({ loudness }).metadata
    expect(broadcast).toMatchObject({
      version: 2,
      loudness: { integratedLufs: -23.1, rangeLu: 0, momentaryLufs: null, shortTermLufs: -327.68 },
    })
    expect(Math.abs(broadcast!.loudness!.truePeakDbtp!)).toBe(0)
    expect(written({ loudness: null }).metadata.broadcast).toMatchObject({ version: 1, loudness: null })
  })

  test('the library reads it as well', () => {
    written({
      stampSamples: 4_492_800_000,
      codingHistory: ['A=PCM'],
      loudness: {
        integratedLufs: -23.1,
        rangeLu: 5,
        truePeakDbtp: -1,
        momentaryLufs: -20,
        shortTermLufs: -21,
      },
    })
    const file = new wavefile.WaveFile(fs.readFileSync(folder.path('stem.wav')))
    expect(file.bext).toMatchObject({
      timeReference: [197_832_704, 1],
      version: 2,
      loudnessValue: 65_536 - 2310,
    })
    expect(file.getiXML()).toContain(
      '<TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_HI>1</TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_HI>',
    )
    expect(file.getSamples(true)).toHaveLength(3)
  })
})

describe('iXML', () => {
  test('project, scene, take and time code of the reference are kept; names are escaped', () => {
    const recorded = reference(
      ixmlChunk(
        '<PROJECT>A &amp; B</PROJECT><SCENE>007</SCENE><CIRCLED>TRUE</CIRCLED><SPEED><TIMECODE_RATE>25/1</TIMECODE_RATE></SPEED>',
      ),
    )
    const file = written(
      { reference: recorded.metadata, trackNames: ['<left> & "l"', 'right\u0001\ud800'], stampSamples: 1 },
      { channels: 2 },
    )
    expect(file.metadata.ixml).toMatchObject({
      session: [
        ['PROJECT', 'A & B'],
        ['SCENE', '007'],
      ],
      timecode: [['TIMECODE_RATE', '25/1']],
      stampRateHz: 48000,
      trackNames: [
        { channel: 1, name: '<left> & "l"' },
        { channel: 2, name: 'right' },
      ],
    })
  })

  test('every chunk before the audio has an even size, for any length of text', () => {
    for (let length = 0; length < 6; length++) {
      const file = written({ description: 'é'.repeat(length), codingHistory: ['x'.repeat(length)] })
      for (const raw of file.metadata.chunks) expect([raw.id, raw.contents!.length % 2]).toEqual([raw.id, 0])
      expect(file.metadata.chunks.map(raw => raw.id)).toEqual(['bext', 'iXML'])
      expect(file.format.dataAt % 2).toBe(0)
    }
  })
})

describe('what is carried from the reference', () => {
  const point = (id: number, frame: number): Uint8Array =>
    concat(le(id, 4), le(frame, 4), ascii('data'), le(0, 8), le(frame, 4))
  const cue = chunk('cue ', concat(le(3, 4), point(1, 0), point(2, 10), point(3, 90)))
  const adtl = chunk('LIST', concat(ascii('adtl'), chunk('labl', concat(le(2, 4), ascii('verse\0')))))
  const info = chunk('LIST', concat(ascii('INFO'), chunk('INAM', ascii('Bass'))))
  const strange = chunk('zz!9', [1, 2, 3])
  const peaks = chunk('PEAK', [0, 0])
  const recorded = (): WaveFile =>
    reference(cue, adtl, info, strange, peaks, chunk('JUNK', [0, 0]), bextChunk({}))

  test('markers move with the audio, texts and unknown chunks stay, what describes samples is named as dropped', () => {
    const file = written({ reference: recorded().metadata, referenceAtFrame: 5 }, { frames: 100 })
    expect(file.metadata.cues).toEqual([
      { id: 1, frame: 5, label: null },
      { id: 2, frame: 15, label: 'verse' },
      { id: 3, frame: 95, label: null },
    ])
    expect(file.metadata.info).toEqual([{ id: 'INAM', text: 'Bass' }])
    expect(file.metadata.chunks.find(raw => raw.id === 'zz!9')?.contents).toEqual(Uint8Array.of(1, 2, 3, 0))
    expect(file.metadata.chunks.map(raw => raw.id)).toEqual(
      ['bext', 'iXML', 'cue', 'LIST', 'LIST', 'zz!9'].map(id => id.padEnd(4)),
    )
    expect(file.dropped).toEqual(['PEAK'])
  })

  test('markers that are cut off with the head or lie behind the end are left out and counted', () => {
    const file = written({ reference: recorded().metadata, referenceAtFrame: -5 }, { frames: 50 })
    expect(file.metadata.cues).toEqual([{ id: 2, frame: 5, label: 'verse' }])
    expect(file.dropped).toEqual(['PEAK', '2 of 3 markers'])
  })

  test('labels go where no marker stays', () => {
    const file = written({ reference: recorded().metadata, referenceAtFrame: 500 }, { frames: 100 })
    expect(file.metadata.chunks.map(raw => raw.id.trim())).toEqual(['bext', 'iXML', 'LIST', 'zz!9'])
    expect(file.dropped).toEqual(['cue', 'LIST', 'PEAK'])
  })

  test('nothing where the reference does not start at a whole frame: all of it is named', () => {
    for (const referenceAtFrame of [null, undefined]) {
      const file = written({
        reference: recorded().metadata,
        ...(referenceAtFrame === undefined ? {} : { referenceAtFrame }),
      })
      expect(file.metadata.chunks.map(raw => raw.id)).toEqual(['bext', 'iXML'])
      expect(file.dropped).toEqual(['cue', 'LIST', 'LIST', 'zz!9', 'PEAK'])
    }
  })
})

describe('loudspeaker positions', () => {
  test.each([
    [1, null, false],
    [1, 4, false],
    [1, 1, true],
    [2, 0, false],
    [2, 3, false],
    [2, 0x600, true],
    [3, null, true],
    [6, 0x60f, true],
  ])('%i channels, mask %s: extensible %s', (channels, channelMask, extensible) => {
    const file = written({}, { channels, channelMask })
    expect(file.format.extensible).toBe(extensible)
    expect(file.format.channelMask).toBe(extensible ? (channelMask ?? 0) : null)
    expect(file.format.validBits).toBe(24)
  })
})
