import {
  ascii,
  bextChunk,
  chunk,
  concat,
  ds64,
  extensibleFormat,
  floats32,
  integers,
  ixmlChunk,
  le,
  longRiff,
  plainFormat,
  riff,
} from './wave-bytes.js'

/** Fifty frames of a mono file. */
export const VALUES = Array.from({ length: 50 }, (_, index) => index - 25)
const cue = chunk(
  'cue ',
  concat(le(2, 4), ...[1, 2].map(id => concat(le(id, 4), le(id, 4), ascii('data'), le(0, 8), le(id, 4)))),
)
/** A label of the first cue. */
export const LABELS = chunk('LIST', concat(ascii('adtl'), chunk('labl', concat(le(1, 4), ascii('verse\0')))))
/** Texts about the file. */
export const INFO = chunk(
  'LIST',
  concat(ascii('INFO'), chunk('INAM', ascii('Bass\0')), chunk('ICMT', ascii('4\0'))),
)
const ixml = ixmlChunk(
  '<PROJECT>Lantern Street</PROJECT><SCENE>007</SCENE><SPEED><TIMECODE_RATE>25/1</TIMECODE_RATE><FILE_SAMPLE_RATE>48000</FILE_SAMPLE_RATE>' +
    '<TIMESTAMP_SAMPLE_RATE>47952.048</TIMESTAMP_SAMPLE_RATE><TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_HI>1</TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_HI>' +
    '<TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_LO>7</TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_LO></SPEED><TRACK_LIST><TRACK><CHANNEL_INDEX>1</CHANNEL_INDEX>' +
    '<INTERLEAVE_INDEX>1</INTERLEAVE_INDEX><NAME>Bass</NAME></TRACK></TRACK_LIST>',
)
const bext = bextChunk({ originator: 'recorder', version: 2, timeReference: 7n, history: 'A=PCM\r\n' })

/** Whole files of each kind, with every chunk that is read. */
export const FILES_WITH_EVERY_CHUNK: readonly Uint8Array[] = [
  riff(plainFormat(1, 1, 48000, 24), bext, ixml, chunk('data', integers(VALUES, 3)), cue, LABELS, INFO),
  riff(cue, INFO, LABELS, extensibleFormat(1, 2, 96000, 16, 16, 3), chunk('data', integers(VALUES, 2)), ixml),
  longRiff(
    'RF64',
    ds64(900, 200, 50, [['bext', 609]]),
    bext,
    plainFormat(3, 1, 48000, 32),
    ascii('data'),
    le(0xffffffff, 4),
    floats32(VALUES),
    ixml,
  ),
  riff(plainFormat(1, 1, 48000, 8), chunk('data', integers(VALUES, 1)), ixml),
]
