import fs from 'node:fs'
import { describe, expect, test } from 'vitest'
import wavefile from 'wavefile'
import type { Depth } from '../../src/recipe/session.js'
import { codingHistoryLine, type StemMetadata, stemChunks } from '../../src/wave/stem-metadata.js'
import { layOutHeader } from '../../src/wave/wave-header.js'
import { createWave } from '../../src/wave/wave-writer.js'
import { noted } from '../evidence.js'
import {
  ascii,
  bextChunk,
  concat,
  ds64,
  integers,
  le,
  longRiff,
  plainFormat,
  temporaryFolder,
} from '../wave/wave-bytes.js'
import {
  noise,
  run,
  runPython,
  talk,
  testWith,
  valuesOfAu,
  valuesOfDoubles,
  valuesOfInts,
} from './wave-tools.js'

// What we write, read by sox, ffmpeg, libsndfile, SciPy, the wave module of Python, and the library for metadata chunks. Exactly equal,
// no tolerance: every depth is a grid that all of them can hold.

const folder = temporaryFolder()
const FRAMES = 4801
const RATE = 96_000
const STAMP = 4_492_800_000 // 13:00:00 at 96 kHz: over 32 bits

interface Shape {
  readonly depth: Depth
  readonly channels: number
  readonly long: boolean
}

const plainShapes: readonly Shape[] = (
  [
    [16, 1],
    [16, 2],
    [24, 1],
    [24, 2],
    [24, 6],
    [32, 1],
    [32, 3],
    ['32f', 1],
    ['32f', 2],
    ['32f', 6],
  ] as const
).map(([depth, channels]) => ({ depth, channels, long: false }))

const longShapes: readonly Shape[] = (
  [
    [16, 2],
    [24, 1],
    [24, 6],
    ['32f', 1],
  ] as const
).map(([depth, channels]) => ({ depth, channels, long: true }))

const shapes = [...plainShapes, ...longShapes]
const nameOf = ({ depth, channels, long }: Shape): string =>
  `${depth} bit, ${channels} channels${long ? ', RF64' : ''}`

const description = 'Lantern Street: upright bass'
const metadataOf = ({ depth, channels }: Shape): StemMetadata => ({
  description,
  stampSamples: STAMP,
  originator: 'Sumwell',
  codingHistory: [codingHistoryLine(RATE, depth, channels, 'Sumwell')],
  loudness: {
    integratedLufs: -23.1,
    rangeLu: 4,
    truePeakDbtp: -1,
    momentaryLufs: null,
    shortTermLufs: -20,
  },
})

const gridBits = (depth: Depth): number => (depth === '32f' ? 24 : depth)

/** A stem of noise, and its values, interleaved. */
const stem = (shape: Shape): { path: string; values: readonly number[] } => {
  const { depth, channels } = shape
  const values = Array.from(noise(FRAMES * channels, gridBits(depth)), value => value / 2 ** 31)
  const path = folder.path(`${nameOf(shape)}.wav`)
  const target = { sampleRateHz: RATE, channels, frames: FRAMES, depth }
  const writer = createWave({ ...target, path, metadata: metadataOf(shape) })
  const block = Array.from({ length: channels }, (_, channel) =>
    Float64Array.from({ length: FRAMES }, (_unused, frame) => values[frame * channels + channel]!),
  )
  writer.write(block, FRAMES)
  writer.commit()
  if (shape.long) {
    // The same with the header that files over 4 GiB have.
    const layout = { ...target, channelMask: null, chunks: stemChunks(metadataOf(shape), target).chunks }
    const audio = fs.readFileSync(path).subarray(layOutHeader(layout).header.length)
    fs.writeFileSync(path, concat(layOutHeader(layout, 1000).header, audio))
  }
  return { path, values }
}

describe('audio and metadata', () => {
  for (const shape of shapes) {
    testWith('ffmpeg', nameOf(shape), () => {
      const { path, values } = stem(shape)
      const decoded = run('ffmpeg', ['-v', 'error', '-i', path, '-f', 'f64le', '-'])
      expect(valuesOfDoubles(decoded)).toEqual(values)
      const said = String(run('ffprobe', ['-v', 'error', '-of', 'json', '-show_format', path]))
      const { format } = JSON.parse(said) as { format: { tags: Record<string, string> } }
      expect(format.tags).toMatchObject({
        comment: description,
        encoded_by: 'Sumwell',
        time_reference: String(STAMP),
      })
      expect(format.tags['coding_history']).toMatch(/^A=PCM,F=96000,W=\d\d,/)
      noted('stems-read-by-ffmpeg')
    })

    testWith('sox', nameOf(shape), () => {
      const { path, values } = stem(shape)
      const decoded = run('sox', ['-D', path, '-t', 'raw', '-e', 'signed', '-b', '32', '-L', '-'])
      expect(valuesOfInts(decoded)).toEqual(values)
      noted('stems-read-by-sox')
    })

    testWith('libsndfile', nameOf(shape), () => {
      const { path, values } = stem(shape)
      const au = folder.path('read.au')
      run('sndfile-convert', [shape.depth === '32f' ? '-float64' : '-pcm32', path, au])
      expect(valuesOfAu(fs.readFileSync(au))).toEqual(values)
      const tags = String(run('sndfile-info', ['--broadcast', path]))
      expect(tags).toContain(description)
      expect(tags).toMatch(/history +: A=PCM,F=96000/)
      expect(tags).toMatch(/Time ref +: 0x10bcab000 \(46800\.0+ seconds\)/)
      expect(tags).toMatch(/Loudness value +: -23\.10 LUFS/)
      noted('stems-read-by-libsndfile')
    })
  }

  // The wave module knows plain PCM only.
  const simple = plainShapes.filter(({ depth, channels }) => depth !== '32f' && channels <= 2)

  testWith('scipy', 'every shape, and the wave module of Python for plain PCM', () => {
    const files = shapes.map(shape => ({ ...shape, ...stem(shape) }))
    const job = files.map(({ path, long }, index) => ({
      path,
      long,
      simple: simple.some(shape => files[index]!.path.endsWith(`${nameOf(shape)}.wav`)),
      out: `${path}.doubles`,
    }))
    const script = `
import sys, json, wave, numpy, scipy, warnings
from scipy.io import wavfile
warnings.simplefilter("ignore", wavfile.WavFileWarning)  # it names the chunks that it passes over
recent = tuple(int(part) for part in scipy.__version__.split(".")[:2]) >= (1, 12)
said = []
for file in json.load(open(sys.argv[1])):
    if file["long"] and not recent:
        said.append("older than RF64")
        continue
    rate, x = wavfile.read(file["path"])
    scale = {"int16": 2.0**15, "int32": 2.0**31, "float32": 1.0}[x.dtype.name]
    (x.astype("<f8") / scale).tofile(file["out"])
    said.append(rate)
    if file["simple"]:
        f = wave.open(file["path"])
        open(file["out"] + ".wave", "wb").write(f.readframes(f.getnframes()))
print(json.dumps(said))
`
    const said = JSON.parse(
      String(runPython(script, [folder.put('job', ascii(JSON.stringify(job)))])),
    ) as unknown[]
    let compared = 0
    files.forEach(({ values, depth, long }, index) => {
      // SciPy before 1.12 knows no RF64 (seen with 1.10.1).
      if (long && said[index] === 'older than RF64') return
      expect(said[index]).toBe(RATE)
      expect(valuesOfDoubles(fs.readFileSync(job[index]!.out))).toEqual(values)
      noted('stems-read-by-scipy')
      compared++
      if (!job[index]!.simple) return
      const bits = gridBits(depth)
      const expected = integers(
        values.map(value => value * 2 ** (bits - 1)),
        bits / 8,
      )
      expect(fs.readFileSync(`${job[index]!.out}.wave`).equals(Uint8Array.from(expected))).toBe(true)
      compared++
    })
    expect(compared).toBeGreaterThanOrEqual(plainShapes.length + simple.length)
  })

  // The library takes extensible floats for integers, and reads RF64 with its words swapped: it is shown neither.
  test.each(plainShapes.filter(({ depth, channels }) => depth !== '32f' || channels <= 2))(
    'wavefile: $depth bit, $channels channels',
    shape => {
      const { path, values } = stem(shape)
      const file = new wavefile.WaveFile(fs.readFileSync(path))
      const scale = shape.depth === '32f' ? 1 : 2 ** (shape.depth - 1)
      expect(Array.from(file.getSamples(true), value => value / scale)).toEqual(values)
      expect(file.bext).toMatchObject({
        originator: 'Sumwell'.padEnd(32, '\0'),
        timeReference: [197_832_704, 1],
        loudnessValue: 65_536 - 2310,
      })
    },
  )
})

describe('a stem of 4.5 GB', () => {
  // Only the header is on the disk; the rest is a hole.
  const hugeFile = (): string => {
    const path = folder.path('huge.wav')
    const shape: Shape = { depth: 24, channels: 1, long: true }
    const target = { sampleRateHz: RATE, channels: 1, frames: 1_500_000_001, depth: 24 } as const
    const { chunks } = stemChunks(metadataOf(shape), target)
    const layout = layOutHeader({ ...target, channelMask: null, chunks })
    fs.writeFileSync(path, layout.header)
    fs.truncateSync(path, layout.fileBytes)
    return path
  }

  testWith('ffmpeg', 'its length and stamp', () => {
    const said = talk('ffprobe', ['-hide_banner', '-show_entries', 'stream=duration_ts', hugeFile()])
    expect(said).toContain('duration_ts=1500000001')
    expect(said).toMatch(/time_reference +: 4492800000/)
  })

  testWith('libsndfile', 'its metadata', () => {
    const said = String(run('sndfile-info', ['--broadcast', hugeFile()]))
    expect(said).toContain(description)
  })
})

describe('what libsndfile 1.2.0 refuses, and why we write as we do', () => {
  const said = (name: string, container: 'RF64' | 'BW64', history: string): string => {
    const format = plainFormat(1, 1, 48000, 24)
    const data = concat(ascii('data'), le(0xffffffff, 4), integers([1, 2, 3, 4], 3))
    const bytes = longRiff(container, ds64(1000, 12, 4), format, bextChunk({ history }), data)
    return talk('sndfile-info', [folder.put(name, bytes)])
  }

  testWith('libsndfile', 'RF64 with an even bext before the audio is read', () => {
    expect(said('even.wav', 'RF64', 'ab')).toMatch(/Sample Rate : 48000\nFrames +: 4\n/)
  })

  testWith('libsndfile', 'with an odd one it is refused, as is BW64', () => {
    // A later version may read them; then writing even sizes does no harm.
    if (!talk('sndfile-info', ['--help']).includes('libsndfile-1.2.0')) return
    expect(said('odd.wav', 'RF64', 'a')).toMatch(/No 'data' chunk marker/)
    expect(said('bw64.wav', 'BW64', 'ab')).toMatch(/Not able to open input file/)
  })
})
