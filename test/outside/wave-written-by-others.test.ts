import { execFileSync } from 'node:child_process'
import { describe, expect, test } from 'vitest'
import wavefile from 'wavefile'
import { openWave, type WaveFile } from '../../src/wave/wave-file.js'
import { noted } from '../evidence.js'
import { allFrames, ascii, concat, temporaryFolder } from '../wave/wave-bytes.js'
import { auOfInts, noise, run, runPython, testWith } from './wave-tools.js'

// What others write, read by us: exactly equal to what they were given, no tolerance.

const folder = temporaryFolder()
const FRAMES = 4801

interface Audio {
  readonly ints: Int32Array
  /** The same as a file of raw 32-bit integers. */
  readonly raw: string
  /** The values by channel. */
  readonly expected: number[][]
}

/** Noise on a grid of `bits` bits, which the coding under test can hold. */
const audio = (channels: number, bits: number): Audio => {
  const ints = noise(FRAMES * channels, bits)
  return {
    ints,
    raw: folder.put(`noise-${channels}-${bits}.raw`, new Uint8Array(ints.buffer)),
    expected: Array.from({ length: channels }, (_, channel) =>
      Array.from({ length: FRAMES }, (_unused, frame) => ints[frame * channels + channel]! / 2 ** 31),
    ),
  }
}

const read = (
  path: string,
  expected: number[][],
  bitDepth: number,
  warnings: readonly string[] = [],
): WaveFile => {
  const file = openWave(path)
  expect(file.facts).toMatchObject({
    frames: FRAMES,
    channels: expected.length,
    bitDepth,
    sampleRateHz: 48000,
  })
  expect(file.warnings.map(warning => warning.code)).toEqual(warnings)
  expect(allFrames(file)).toEqual(expected)
  file.close()
  return file
}

/** Stored bits, bits of the grid, and the channels to try. */
const depths = [
  { stored: 8, bits: 8, float: false, channels: [1, 2] },
  { stored: 16, bits: 16, float: false, channels: [1, 2, 6] },
  { stored: 24, bits: 24, float: false, channels: [1, 2, 6] },
  { stored: 32, bits: 32, float: false, channels: [1, 2, 6] },
  { stored: 32, bits: 24, float: true, channels: [1, 2, 6] },
  { stored: 64, bits: 32, float: true, channels: [1, 2] },
] as const

const shapes = depths.flatMap(({ channels, ...depth }) =>
  channels.map(count => ({ ...depth, channels: count })),
)
type Shape = (typeof shapes)[number]
const nameOf = ({ stored, float, channels }: Shape): string =>
  `${stored} bit${float ? ' float' : ''}, ${channels} channels`

describe('ffmpeg', () => {
  const ffmpeg = (raw: string, channels: number, ...args: string[]): Buffer =>
    run('ffmpeg', [
      '-v',
      'error',
      '-y',
      '-f',
      's32le',
      '-ar',
      '48000',
      '-ac',
      `${channels}`,
      '-i',
      raw,
      ...args,
    ])

  for (const shape of shapes) {
    testWith('ffmpeg', `${nameOf(shape)}, plain and RF64`, () => {
      const { channels, stored, bits } = shape
      const coding = stored === 8 ? 'pcm_u8' : `pcm_${shape.float ? 'f' : 's'}${stored}le`
      const { raw, expected } = audio(channels, bits)
      const [plain, long] = [folder.path('ffmpeg.wav'), folder.path('ffmpeg-rf64.wav')]
      ffmpeg(raw, channels, '-c:a', coding, plain, '-c:a', coding, '-rf64', 'always', long)
      expect(read(plain, expected, stored).format.container).toBe('RIFF')
      // It counts the pad byte into the size of the audio.
      expect(read(long, expected, stored).format.container).toBe('RF64')
      noted('ffmpeg-files-read')
      noted('ffmpeg-files-read')
    })
  }

  testWith('ffmpeg', 'bext with a time reference over 2^31', () => {
    const { raw, expected } = audio(1, 24)
    const path = folder.path('ffmpeg-bext.wav')
    const tags = [
      'time_reference=2246400000',
      'originator=recorder',
      'description=bass',
      'coding_history=A=PCM',
    ]
    const args = tags.flatMap(tag => ['-metadata', tag])
    ffmpeg(raw, 1, '-c:a', 'pcm_s24le', '-write_bext', '1', ...args, path)
    const file = read(path, expected, 24)
    expect(file.facts.stampSamples).toBe(2_246_400_000)
    expect(file.metadata.broadcast).toMatchObject({
      description: 'bass',
      originator: 'recorder',
      codingHistory: ['A=PCM'],
    })
    expect(file.metadata.info.map(({ id }) => id)).toContain('ISFT')
  })

  testWith('ffmpeg', 'through a pipe, so that its header could never be finished', () => {
    const { raw, expected } = audio(2, 24)
    const path = folder.put('ffmpeg-pipe.wav', ffmpeg(raw, 2, '-c:a', 'pcm_s24le', '-f', 'wav', '-'))
    read(path, expected, 24, ['WAVE_UNFINISHED'])
  })
})

describe('sox', () => {
  const rawInts = '-t raw -e signed -b 32 -L -r 48000'.split(' ')

  for (const shape of shapes) {
    testWith('sox', `${nameOf(shape)}, usual and plain header`, () => {
      const { channels, stored, bits, float } = shape
      const { raw, expected } = audio(channels, bits)
      const encoding = float ? 'float' : stored === 8 ? 'unsigned' : 'signed'
      for (const type of ['wav', 'wavpcm']) {
        const path = folder.path(`sox.${type}`)
        const coding = ['-t', type, '-e', encoding, '-b', `${stored}`, path]
        run('sox', ['-D', ...rawInts, '-c', `${channels}`, raw, ...coding])
        read(path, expected, stored)
        noted('sox-files-read')
      }
    })
  }

  testWith('sox', 'from a pipe into a pipe, so that its header could never be finished', () => {
    const { raw, expected } = audio(1, 16)
    const path = folder.path('sox-pipe.wav')
    const command = `cat '${raw}' | sox -D ${rawInts.join(' ')} -c 1 - -t wav -b 16 - | cat > '${path}'`
    execFileSync('sh', ['-c', command], { stdio: ['ignore', 'pipe', 'pipe'] })
    read(path, expected, 16, ['WAVE_UNFINISHED'])
  })
})

describe('libsndfile', () => {
  const kinds = [
    ['wav', 'RIFF'],
    ['wavex', 'RIFF'],
    ['rf64', 'RF64'],
  ] as const

  for (const shape of shapes) {
    testWith('libsndfile', `${nameOf(shape)}, plain, extensible and RF64`, () => {
      const { channels, stored, bits, float } = shape
      const { ints, expected } = audio(channels, bits)
      const au = folder.put('noise.au', auOfInts(ints, channels, 48000))
      const coding = float ? `-float${stored}` : stored === 8 ? '-pcmu8' : `-pcm${stored}`
      for (const [kind, container] of kinds) {
        const path = folder.path(`sndfile.${kind}`)
        run('sndfile-convert', [coding, au, path])
        const file = read(path, expected, stored)
        expect(file.format.container).toBe(container)
        noted('libsndfile-files-read')
        if (kind === 'wavex') expect(file.format.extensible).toBe(true)
      }
    })
  }
})

describe('Python', () => {
  testWith('scipy', 'SciPy and the wave module: every depth that they write', () => {
    const job = shapes.flatMap(shape => {
      const { raw } = audio(shape.channels, shape.bits)
      const by = [
        ...(shape.float ? [] : ['wave']),
        ...(shape.stored === 24 || shape.stored === 8 ? [] : ['scipy']),
      ]
      return by.map(writer => ({ ...shape, raw, writer, path: `${raw}.${shape.stored}.${writer}.wav` }))
    })
    const script = `
import sys, json, wave, numpy
from scipy.io import wavfile
for file in json.load(open(sys.argv[1])):
    x = numpy.fromfile(file["raw"], dtype="<i4").reshape(-1, file["channels"])
    bits = file["stored"]
    if file["writer"] == "scipy":
        x = x / 2.0**31 if file["float"] else x >> (32 - bits)
        wavfile.write(file["path"], 48000, x.astype(("float" if file["float"] else "int") + str(bits)))
    else:
        width = bits // 8
        stored = numpy.ascontiguousarray(x).view(numpy.uint8).reshape(-1, 4)[:, 4 - width:]
        stored = stored ^ 128 if width == 1 else stored  # 8 bit is unsigned
        f = wave.open(file["path"], "wb")
        f.setparams((file["channels"], width, 48000, 0, "NONE", ""))
        f.writeframes(stored.tobytes())
        f.close()
`
    runPython(script, [folder.put('job', ascii(JSON.stringify(job)))])
    for (const { path, channels, bits, stored } of job) {
      read(path, audio(channels, bits).expected, stored)
      noted('python-files-read')
    }
    expect(job).toHaveLength(22)
  })
})

describe('wavefile', () => {
  test.each(shapes)('$stored bit, float $float, $channels channels', ({ channels, stored, bits, float }) => {
    const { ints, expected } = audio(channels, bits)
    const values = Float64Array.from(ints, value =>
      float ? value / 2 ** 31 : value / 2 ** (32 - bits) + (stored === 8 ? 128 : 0),
    )
    const file = new wavefile.WaveFile()
    file.fromScratch(channels, 48000, stored === 32 && float ? '32f' : `${stored}`, values)
    read(folder.put('wavefile.wav', concat(file.toBuffer())), expected, stored)
  })
})
