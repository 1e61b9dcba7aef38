import fs from 'node:fs'
import { describe, expect, test } from 'vitest'
import { openWave } from '../../src/wave/wave-file.js'
import { faultOf } from './faults-of.js'
import { system } from './system-command.js'
import {
  allFrames,
  ascii,
  type Bytes,
  bextChunk,
  chunk,
  concat,
  extensibleFormat,
  integers,
  le,
  longRiff,
  plainFormat,
  riff,
  temporaryFolder,
} from './wave-bytes.js'

const folder = temporaryFolder()
const format = plainFormat(1, 1, 48000, 24)
const samples = integers([1, 2, 3, 4], 3)
const data = chunk('data', samples)
const exact = [[1, 2, 3, 4].map(value => value / 2 ** 23)]

const withData = (statedBytes: number, contents: Bytes, ...after: Bytes[]): Uint8Array =>
  riff(format, ascii('data'), le(statedBytes, 4), contents, ...after)

describe('a recording that was never closed is read to its end, with a warning', () => {
  const cases: readonly (readonly [string, Uint8Array])[] = [
    ['size 0', withData(0, samples)],
    ['size 0, noise', withData(0, integers([0x414141, 0x414141, 0x000003, 0x7f3041], 3))],
    ['size 0xFFFFFFFF', withData(0xffffffff, samples)],
    ['the size of an endless pipe', withData(0x7ffff000, samples)],
    ['the other size of one', withData(0xffffff00, samples)],
    ['RIFF size 0 too', withData(0, samples).fill(0, 4, 8)],
  ]
  test.each(cases)('%s', (name, bytes) => {
    const file = openWave(folder.put(`${name}.wav`, bytes))
    expect(file.facts.frames).toBe(4)
    expect(file.warnings.map(warning => warning.code)).toEqual(['WAVE_UNFINISHED'])
    if (!name.includes('noise')) expect(allFrames(file)).toEqual(exact)
    file.close()
  })

  test('but an empty recording with chunks behind it is an empty recording', () => {
    const file = openWave(folder.put('empty.wav', withData(0, [], bextChunk({}), chunk('note', [1, 2]))))
    expect(file.facts.frames).toBe(0)
    expect(file.warnings).toEqual([])
    file.close()
  })

  test('half a frame at its end is left out', () => {
    const file = openWave(folder.put('torn open.wav', withData(0, samples.slice(0, -1))))
    expect(file.facts.frames).toBe(3)
    expect(file.warnings.map(warning => warning.code)).toEqual(['WAVE_UNFINISHED'])
    file.close()
  })
})

describe('of a truncated recording what is whole is used, with a warning', () => {
  test('shorter than its header says', () => {
    const file = openWave(folder.put('short.wav', withData(48000 * 3, samples.slice(0, -2))))
    expect(allFrames(file)).toEqual([exact[0]!.slice(0, 3)])
    expect(file.warnings).toEqual([
      {
        code: 'WAVE_TRUNCATED',
        group: null,
        source: null,
        message:
          'short.wav: the header states 1.000 s of audio, the file holds 0.000 s; what is whole is used. Copy it again if there is a longer one',
      },
    ])
    file.close()
  })

  test('with half a frame inside a data chunk that is whole', () => {
    const file = openWave(folder.put('torn.wav', withData(11, samples.slice(0, -1), [0])))
    expect(file.facts.frames).toBe(3)
    expect(file.warnings.map(warning => warning.code)).toEqual(['WAVE_TRUNCATED'])
    file.close()
  })
})

describe('a malformed header is a fault that says what and at which byte', () => {
  const patched = (at: number, bytes: Bytes): Uint8Array => {
    const whole = riff(format, data)
    whole.set(bytes, at)
    return whole
  }
  const cases: readonly (readonly [string, Uint8Array, string, RegExp])[] = [
    [
      'block align',
      patched(32, le(4, 2)),
      'WAVE_HEADER',
      /4 bytes per frame for 1 channels of 24 bit \(byte 32\)/,
    ],
    ['fmt too short', riff(chunk('fmt ', [1, 0]), data), 'WAVE_HEADER', /fmt chunk has 2 bytes \(byte 12\)/],
    ['no fmt', riff(data), 'WAVE_HEADER', /ends without a fmt chunk \(byte 32\)/],
    ['no data', riff(format), 'WAVE_HEADER', /ends without a data chunk \(byte 36\)/],
    [
      'a chunk over the end',
      riff(format, ascii('junk'), le(5000, 4), [0]),
      'WAVE_HEADER',
      /"junk" is said to have 5000 bytes.*no data chunk comes before it \(byte 36\)/,
    ],
    ['two data chunks', riff(format, data, data), 'WAVE_HEADER', /second data chunk \(byte 56\)/],
    ['no id', riff(format, [0, 1, 2, 3, 4, 0, 0, 0], data), 'WAVE_HEADER', /no chunk starts.* \(byte 36\)/],
    [
      'ds64 too short',
      longRiff('RF64', chunk('ds64', [1, 2]), format, data),
      'WAVE_HEADER',
      /ds64.* 2 bytes \(byte 12\)/,
    ],
    [
      'ds64 cut off',
      longRiff('RF64', ascii('ds64'), le(28, 4), [0]),
      'WAVE_HEADER',
      /ds64.* 28 bytes \(byte 12\)/,
    ],
    [
      'extensible without its extension',
      riff(plainFormat(0xfffe, 1, 48000, 24), data),
      'WAVE_HEADER',
      /extensible but has 16 bytes \(byte 12\)/,
    ],
    ['no channels', patched(22, le(0, 2)), 'WAVE_LIMIT', /states 0 channels \(byte 22\)/],
    [
      '65 channels',
      riff(plainFormat(1, 65, 48000, 16), data),
      'WAVE_LIMIT',
      /states 65 channels \(byte 22\)/,
    ],
    ['rate 0', patched(24, le(0, 4)), 'WAVE_LIMIT', /states 0 Hz \(byte 24\)/],
    ['7999 Hz', patched(24, le(7999, 4)), 'WAVE_LIMIT', /states 7999 Hz \(byte 24\)/],
    ['384001 Hz', patched(24, le(384_001, 4)), 'WAVE_LIMIT', /states 384001 Hz \(byte 24\)/],
    ['0 bits', patched(34, le(0, 2)), 'WAVE_FORMAT', /is 0 bit PCM/],
    ['48 bits', riff(plainFormat(1, 1, 48000, 48), data), 'WAVE_FORMAT', /is 48 bit PCM/],
    ['16 bit float', riff(plainFormat(3, 1, 48000, 16), data), 'WAVE_FORMAT', /is 16 bit float/],
    ['ADPCM', patched(20, le(2, 2)), 'WAVE_FORMAT', /coded as ADPCM/],
    ['an unknown tag', patched(20, le(777, 2)), 'WAVE_FORMAT', /coded as format tag 777/],
    [
      'an unknown sub-format',
      riff(extensibleFormat(1, 1, 48000, 24, 24, 0).fill(9, 40, 44), data),
      'WAVE_FORMAT',
      /coded as an unknown sub-format/,
    ],
    [
      'AIFF',
      concat(ascii('FORM'), le(100, 4), ascii('AIFF'), samples),
      'WAVE_NOT_WAVE',
      /it is an AIFF file/,
    ],
    ['RIFX', concat(ascii('RIFX'), le(100, 4), ascii('WAVE'), samples), 'WAVE_NOT_WAVE', /big-endian RIFX/],
    [
      'RIFF of another kind',
      concat(ascii('RIFF'), le(4, 4), ascii('AVI ')),
      'WAVE_NOT_WAVE',
      /without WAVE in it/,
    ],
    ['text', concat(ascii('this is no recording')), 'WAVE_NOT_WAVE', /no WAVE file$/],
    ['empty', new Uint8Array(0), 'WAVE_NOT_WAVE', /an empty file/],
    ['11 bytes', riff().subarray(0, 11), 'WAVE_NOT_WAVE', /no WAVE file/],
    ['zeros', new Uint8Array(4000), 'WAVE_NOT_WAVE', /filled with zero bytes/],
  ]
  test.each(cases)('%s', (name, bytes, code, message) => {
    const path = folder.put(`bad ${name}.wav`, bytes)
    const fault = faultOf(() => openWave(path))
    expect(fault.code).toBe(code)
    expect(fault.message).toMatch(message)
    expect(fault.file).toBe(path)
    expect(fault.expected).not.toBeNull()
  })

  test('a file that holds no sound at all is not sent to be converted', () => {
    const mendOf = (name: string, bytes: Uint8Array) => faultOf(() => openWave(folder.put(name, bytes))).mend
    expect(mendOf('nothing.wav', new Uint8Array(0))).toMatch(/^copy or export the recording again/)
    expect(mendOf('nothing but zeros.wav', new Uint8Array(4000))).toMatch(
      /^copy or export the recording again/,
    )
    expect(mendOf('a text.wav', Uint8Array.from(ascii('this is no recording')))).toMatch(
      /^convert it to WAVE/,
    )
  })

  test('thousands of empty chunks before the audio end in a fault, not in a long wait', () => {
    const path = folder.put(
      'many.wav',
      riff(format, ...Array<Uint8Array>(5000).fill(chunk('zero', [])), data),
    )
    expect(faultOf(() => openWave(path)).message).toMatch(/more than 4096 chunks/)
  })
})

describe('what is no file on a disk is refused', () => {
  test('missing, a folder, a path through a file', () => {
    const file = folder.put('a file', [1])
    const missing = faultOf(() => openWave(folder.path('nowhere.wav')))
    expect(missing).toMatchObject({ code: 'WAVE_UNREADABLE', message: 'the file does not exist' })
    expect(faultOf(() => openWave(folder.path('.'))).message).toBe('this is a folder, not a file')
    expect(faultOf(() => openWave(`${file}/x.wav`)).message).toBe('a folder in the path is a file')
  })

  test.skipIf(process.platform === 'win32')('a pipe and a device, without waiting for them', () => {
    const pipe = folder.path('pipe.wav')
    system('mkfifo', pipe)
    expect(faultOf(() => openWave(pipe)).message).toBe('this is a pipe, not a file')
    expect(faultOf(() => openWave('/dev/zero')).message).toBe('this is a device, not a file')
    const link = folder.path('link.wav')
    fs.symlinkSync(link, link)
    expect(faultOf(() => openWave(link)).message).toBe('the path is a circle of links')
  })

  test('every refused file is closed again', t => {
    if (!fs.existsSync('/proc/self/fd')) {
      console.warn('not checked that refused files are closed: this system does not list open files')
      t.skip()
    }
    const path = folder.put('refused.wav', riff(format))
    const open = (): number => fs.readdirSync('/proc/self/fd').length
    const before = open()
    for (let i = 0; i < 50; i++) faultOf(() => openWave(path))
    expect(open()).toBeLessThan(before + 10)
  })
})
