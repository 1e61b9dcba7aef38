import {
  ascii,
  bextChunk,
  chunk,
  concat,
  ds64,
  extensibleFormat,
  floats32,
  ixmlChunk,
  le,
  longRiff,
  plainFormat,
  riff,
} from '../../wave/wave-bytes.js'
import type { RobustArea, RobustCase } from '../case.js'
import type { Ground } from '../ground.js'
import {
  chmodSync,
  mkdirSync,
  mkfifoSync,
  mksocketSync,
  readFileSync,
  rmSync,
  symlinkSync,
} from '../system.js'
import { frames, mono, stroke } from '../waves.js'

const CHECK = 'sumwell check song.yaml'
const RENDER = 'sumwell render song.yaml --no-audio'

/** The second recording is these bytes. */
const holding =
  (bytes: () => Uint8Array) =>
  (ground: Ground): void => {
    ground.put('audio/bottom.wav', bytes())
  }
/** In its place stands something else. */
const standing =
  (put: (path: string) => void) =>
  (ground: Ground): void => {
    rmSync(ground.path('audio/bottom.wav'))
    put(ground.path('audio/bottom.wav'))
  }
const fault = (what: string, code: string, bytes: () => Uint8Array): RobustCase => ({
  what,
  set: holding(bytes),
  call: CHECK,
  // The place is in the recipe, but it is the recording that is wrong.
  exit: 1,
  codes: [code],
})
/** A recording with something odd about it that is used all the same. */
const warned = (what: string, code: string, bytes: () => Uint8Array): RobustCase => ({
  what,
  set: holding(bytes),
  call: `${CHECK} --json`,
  exit: 0,
  codes: [code],
})
const data = (): Uint8Array => chunk('data', stroke(4800))
const format = plainFormat(1, 1, 48_000, 24)

/** Recordings that are none, or broken. */
export const recordings: RobustArea = {
  name: 'recordings',
  title: 'Recordings',
  cases: [
    {
      what: 'a recording that is not there',
      set: standing(() => undefined),
      call: CHECK,
      exit: 3,
      codes: ['RECIPE_FILE_MISSING'],
    },
    {
      what: 'a folder in its place',
      set: standing(path => {
        mkdirSync(path)
      }),
      call: CHECK,
      exit: 3,
      codes: ['RECIPE_FILE_MISSING'],
    },
    {
      what: 'a pipe in its place',
      set: standing(mkfifoSync),
      call: CHECK,
      exit: 3,
      codes: ['RECIPE_FILE_MISSING'],
    },
    {
      what: 'a socket in its place',
      set: standing(mksocketSync),
      call: CHECK,
      exit: 3,
      codes: ['RECIPE_FILE_MISSING'],
    },
    {
      what: 'a link to a device in its place',
      set: standing(path => {
        symlinkSync('/dev/zero', path)
      }),
      call: CHECK,
      exit: 3,
      codes: ['RECIPE_OUTSIDE'],
    },
    {
      what: 'the same, where files outside are allowed',
      set: standing(path => {
        symlinkSync('/dev/zero', path)
      }),
      call: `${CHECK} --allow-outside`,
      exit: 3,
      codes: ['RECIPE_FILE_MISSING'],
    },
    {
      what: 'a circle of links in its place',
      set: standing(path => {
        symlinkSync('bottom.wav', path)
      }),
      call: CHECK,
      exit: 3,
      codes: ['RECIPE_FILE_MISSING'],
    },
    {
      what: 'a recording that this user may not read',
      set: g => {
        chmodSync(g.path('audio/bottom.wav'), 0o000)
      },
      call: CHECK,
      exit: 1,
      codes: ['WAVE_UNREADABLE'],
      asStranger: true,
      after: g => {
        chmodSync(g.path('audio/bottom.wav'), 0o644)
      },
    },
    {
      what: 'a pipe as the only argument of `verify`',
      set: g => {
        mkfifoSync(g.path('pipe'))
      },
      call: 'sumwell verify pipe',
      exit: 1,
      codes: ['REPORT_UNREADABLE'],
    },
    fault('a file of no bytes', 'WAVE_NOT_WAVE', () => new Uint8Array(0)),
    fault('a text', 'WAVE_NOT_WAVE', () => Buffer.from('this is not sound')),
    fault('nothing but zeros: a copy that was broken off', 'WAVE_NOT_WAVE', () => new Uint8Array(5000)),
    fault('an AIFF file', 'WAVE_NOT_WAVE', () =>
      concat(ascii('FORM'), le(100, 4), ascii('AIFF'), stroke(10)),
    ),
    fault('a big-endian RIFX file', 'WAVE_NOT_WAVE', () =>
      concat(ascii('RIFX'), le(100, 4), ascii('WAVE'), stroke(10)),
    ),
    fault('the first 11 bytes', 'WAVE_NOT_WAVE', () => mono(stroke(10)).subarray(0, 11)),
    fault('a header that ends before the audio', 'WAVE_HEADER', () => riff(format)),
    fault('no word about the format', 'WAVE_HEADER', () => riff(data())),
    fault('a second stretch of audio', 'WAVE_HEADER', () => riff(format, data(), data())),
    fault('a chunk that is said to have 4 GB', 'WAVE_HEADER', () =>
      riff(format, ascii('junk'), le(0xfffffff0, 4), stroke(10)),
    ),
    fault('5,000 empty chunks', 'WAVE_HEADER', () =>
      riff(format, ...Array.from({ length: 5000 }, () => chunk('zero', [])), data()),
    ),
    fault('RF64 whose sizes are cut off', 'WAVE_HEADER', () =>
      longRiff('RF64', ascii('ds64'), le(28, 4), [0, 0]),
    ),
    fault('bytes per frame that do not go with the format', 'WAVE_HEADER', () => {
      const bytes = mono(stroke(10))
      bytes[32] = 7
      return bytes
    }),
    fault('ADPCM', 'WAVE_FORMAT', () => riff(plainFormat(2, 1, 48_000, 4), data())),
    fault('48 bit', 'WAVE_FORMAT', () => riff(plainFormat(1, 1, 48_000, 48), data())),
    fault('65 channels', 'WAVE_LIMIT', () => riff(plainFormat(1, 65, 48_000, 16), data())),
    fault('0 Hz', 'WAVE_LIMIT', () => riff(plainFormat(1, 1, 0, 24), data())),
    fault('a sample that is no number', 'WAVE_NOT_A_NUMBER', () =>
      riff(plainFormat(3, 1, 48_000, 32), chunk('data', floats32([0, 0.5, Number.NaN, 0.25]))),
    ),
    fault('a sample that is infinite', 'WAVE_NOT_A_NUMBER', () =>
      riff(plainFormat(3, 1, 48_000, 32), chunk('data', floats32([0, Number.NEGATIVE_INFINITY]))),
    ),
    {
      what: 'another sample rate than the reference',
      set: holding(() => mono(stroke(), 44_100)),
      call: CHECK,
      exit: 3,
      codes: ['RECIPE_RATE_MISMATCH'],
    },
    {
      what: 'a channel that the file lacks',
      set: g => {
        g.recipe('bottom: audio/bottom.wav', 'bottom: { file: audio/bottom.wav, channel: right }')
      },
      call: CHECK,
      exit: 3,
      codes: ['RECIPE_CHANNEL'],
    },
    warned('shorter than its header says', 'WAVE_TRUNCATED', () => mono(stroke()).subarray(0, 100_001)),
    warned('a recording that was never closed', 'WAVE_UNFINISHED', () => {
      const bytes = mono(stroke())
      new DataView(bytes.buffer).setUint32(40, 0, true)
      return bytes
    }),
    warned('iXML that is no XML', 'WAVE_METADATA', () =>
      mono(stroke(), 48_000, chunk('iXML', ascii('<BWFXML><SPEED>'))),
    ),
    warned('iXML with entities that multiply to a thousand million', 'WAVE_METADATA', () =>
      mono(
        stroke(),
        48_000,
        chunk(
          'iXML',
          ascii(
            `<!DOCTYPE a [<!ENTITY b "xxxxxxxxxx">${Array.from('cdefghijk')
              .map((n, i) => `<!ENTITY ${n} "${`&${'bcdefghij'[i] ?? ''};`.repeat(10)}">`)
              .join('')}]><BWFXML><SCENE>&k;</SCENE><SPEED></BWFXML>`,
          ),
        ),
      ),
    ),
    warned('time stamps in bext and iXML that differ', 'WAVE_METADATA', () =>
      mono(
        stroke(),
        48_000,
        bextChunk({ originator: 'recorder', timeReference: 1000n }),
        ixmlChunk(
          '<SPEED><TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_LO>5</TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_LO></SPEED>',
        ),
      ),
    ),
    {
      what: 'a time stamp at a rate beyond all numbers: the stamp is taken as it stands',
      set: holding(() =>
        mono(
          stroke(),
          48_000,
          ixmlChunk(
            '<SPEED><TIMESTAMP_SAMPLE_RATE>1e308</TIMESTAMP_SAMPLE_RATE><TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_LO>5</TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_LO></SPEED>',
          ),
        ),
      ),
      call: CHECK,
      exit: 0,
      says: /bottom/,
    },
    {
      what: 'no frames at all',
      set: holding(() => mono(new Uint8Array(0))),
      call: `${RENDER} --json`,
      exit: 0,
      codes: ['SILENT'],
      writes: /^(song|stems(\/.*)?|song\.lock\.yaml)$/,
    },
    {
      what: 'a single frame',
      set: holding(() => mono(frames(1, () => 0.5))),
      call: `${RENDER} --json`,
      exit: 0,
      codes: ['NOT_SURE'],
      writes: /^(song|stems(\/.*)?|song\.lock\.yaml)$/,
    },
    {
      what: 'a file that grows while it is read',
      call: 'sumwell render song.yaml --no-audio',
      when: {
        stderr: ': rendering\n',
        act: g => {
          const file = g.path('audio/bottom.wav')
          g.put('audio/bottom.wav', concat(readFileSync(file), new Uint8Array(1000)))
        },
      },
      exit: 1,
      codes: ['WAVE_CHANGED'],
      writes: /^(song|stems|stems\/|audio\/bottom\.wav|audio)$/,
    },
    {
      what: 'an extensible header of half its length',
      set: holding(() =>
        riff(chunk('fmt ', extensibleFormat(1, 1, 48_000, 24, 24, 0).subarray(8, 30)), data()),
      ),
      call: CHECK,
      exit: 1,
      codes: ['WAVE_HEADER'],
    },
    {
      what: 'RF64 that states more frames than there are',
      set: holding(() =>
        longRiff('RF64', ds64(2 ** 40, 2 ** 40, 2 ** 38), format, ascii('data'), le(0xffffffff, 4), stroke()),
      ),
      call: `${CHECK} --json`,
      exit: 0,
      codes: ['WAVE_TRUNCATED'],
    },
  ],
}
