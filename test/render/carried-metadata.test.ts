import fs from 'node:fs'
import path from 'node:path'
import { describe, expect, test } from 'vitest'
import { sha256OfFile } from '../../src/wave/hash.js'
import { probeWave } from '../../src/wave/probe.js'
import { openWave } from '../../src/wave/wave-file.js'
import { file, group } from '../decide/setting/song.js'
import {
  ascii,
  type Bytes,
  chunk,
  concat,
  ds64,
  extensibleFormat,
  integers,
  ixmlChunk,
  le,
  longRiff,
  plainFormat,
  riff,
} from '../wave/wave-bytes.js'
import { newFolder, renderFor, samplesOf } from './setting/takes.js'

const FRAMES = 4800

/** A recording made of bytes, as measuring would tell of it. */
const recording = (target: string, bytes: Uint8Array, measured: Parameters<typeof file>[1] = {}) => {
  fs.writeFileSync(target, bytes)
  const { facts } = probeWave(target)
  const { frames, channels, bitDepth } = facts
  return file(
    path.basename(target, '.wav'),
    {
      sha256: sha256OfFile(target),
      frames,
      channels,
      bitDepth,
      samplePeakDbfs: -20,
      truePeakDbtp: -19,
      ...measured,
    },
    { file: target, facts },
  )
}

const samples = (channels: number): readonly number[] =>
  Array.from({ length: FRAMES * channels }, (_, i) => ((i * 7919) % 200_001) - 100_000)

const point = (id: number, frame: number): Uint8Array =>
  concat(le(id, 4), le(frame, 4), ascii('data'), le(0, 8), le(frame, 4))
const more: readonly Bytes[] = [
  chunk('cue ', concat(le(2, 4), point(1, 0), point(2, 1000))),
  chunk('LIST', concat(ascii('adtl'), chunk('labl', concat(le(2, 4), ascii('verse\0'))))),
  chunk('LIST', concat(ascii('INFO'), chunk('INAM', ascii('Bass')))),
  chunk('zz!9', [1, 2, 3, 4]),
  chunk('PEAK', [0, 0]),
]
const mono = (...chunks: readonly Bytes[]): Uint8Array =>
  riff(plainFormat(1, 1, 48000, 24), ...chunks, chunk('data', integers(samples(1), 3)))

describe('metadata of the recording', () => {
  test('move with the sound, to the nearest frame; what would not be true of the stem is named', async () => {
    const folder = newFolder()
    const told = [
      recording(path.join(folder, 'ref.wav'), mono(...more)),
      recording(path.join(folder, 'late.wav'), mono(...more), { lagSamples: 95.31 }),
    ]
    const { plan, rendered } = await renderFor([group('g', told)], { folder: path.join(folder, 'out') })
    const cues = plan.stems.map(stem => {
      const wave = openWave(stem.file)
      wave.close()
      expect(wave.metadata.info).toEqual([{ id: 'INAM', text: 'Bass' }])
      expect(wave.metadata.chunks.map(({ id }) => id)).toContain('zz!9')
      return wave.metadata.cues.map(({ frame, label }) => [frame, label])
    })
    expect(cues).toEqual([
      [
        [0, null],
        [1000, 'verse'],
      ],
      [[905, 'verse']], // 95.31 frames earlier
    ])
    expect(rendered.map(({ droppedChunks }) => droppedChunks)).toEqual([['PEAK'], ['PEAK', '1 of 2 markers']])
  })

  test('loudspeaker positions and track names of a linked set are kept', async () => {
    const folder = newFolder()
    const names = ['left', 'right', 'centre', 'low', 'left back', 'right back']
    const tracks = names
      .map(
        (name, i) =>
          `<TRACK><CHANNEL_INDEX>${i + 1}</CHANNEL_INDEX><INTERLEAVE_INDEX>${i + 1}</INTERLEAVE_INDEX><NAME>${name}</NAME></TRACK>`,
      )
      .join('')
    const set = riff(
      extensibleFormat(1, 6, 48000, 24, 24, 0x60f),
      ixmlChunk(`<TRACK_LIST>${tracks}</TRACK_LIST>`),
      chunk('data', integers(samples(6), 3)),
    )
    const told = [recording(path.join(folder, 'set.wav'), set)]
    const { plan } = await renderFor([group('g', told)], { folder: path.join(folder, 'out') })
    const wave = openWave(plan.stems[0]!.file)
    wave.close()
    expect(wave.format).toMatchObject({ extensible: true, channelMask: 0x60f, channels: 6 })
    expect(wave.metadata.ixml?.trackNames.map(({ name }) => name)).toEqual(names.map(name => `g_set ${name}`))
    const values = samplesOf(plan.stems[0]!.file)
    samples(6).forEach((value, i) => {
      if (values[i % 6]![Math.floor(i / 6)] !== value / 2 ** 23) throw new Error(`sample ${i}`)
    })
  })
})

test.each(['RF64', 'BW64'] as const)(
  'a recording in %s is rendered like the same in RIFF',
  async container => {
    const folder = newFolder()
    const data = integers(samples(1), 3)
    const long = longRiff(
      container,
      ds64(72 + data.length, data.length, FRAMES),
      plainFormat(1, 1, 48000, 24),
      ascii('data'),
      le(0xffffffff, 4),
      data,
    )
    const rendered = async (name: string, bytes: Uint8Array): Promise<Float64Array> => {
      fs.mkdirSync(path.join(folder, name))
      const told = [
        recording(path.join(folder, name, 'ref.wav'), bytes),
        recording(path.join(folder, name, 'late.wav'), bytes, { lagSamples: 1.5 }),
      ]
      const { plan } = await renderFor([group('g', told)], { folder: path.join(folder, name, 'out') })
      expect(plan.stems).toHaveLength(2)
      return samplesOf(plan.stems[0]!.file)[0]!
    }
    expect(await rendered('long', long)).toEqual(await rendered('plain', mono()))
  },
)
