import { readdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { stemChunks } from '../../../src/wave/stem-metadata.js'
import { openWave } from '../../../src/wave/wave-file.js'
import { FILES_WITH_EVERY_CHUNK, INFO, LABELS, VALUES } from '../../wave/every-chunk.js'
import {
  ascii,
  bextChunk,
  chunk,
  concat,
  integers,
  ixmlChunk,
  le,
  plainFormat,
  riff,
} from '../../wave/wave-bytes.js'
import type { Chance } from '../chance.js'
import { judged, playground } from '../judge.js'
import { AWKWARD_NUMBERS, mutatedBytes } from '../mutate-bytes.js'
import type { Target } from '../target.js'

/** Files with every chunk that is read, built byte by byte; and small ones that sox, ffmpeg and libsndfile wrote. */
const SEEDS: readonly Uint8Array[] = [
  ...FILES_WITH_EVERY_CHUNK,
  ...readdirSync(join(import.meta.dirname, '../seeds'))
    .sort()
    .map(name => readFileSync(join(import.meta.dirname, '../seeds', name))),
]

const WORDS = [
  ...[
    'RIFF',
    'RF64',
    'BW64',
    'WAVE',
    'fmt ',
    'data',
    'ds64',
    'LIST',
    'INFO',
    'adtl',
    'labl',
    'ltxt',
    'note',
    'bext',
    'iXML',
    'cue ',
    'fact',
    'JUNK',
  ],
  ...[
    '<',
    '>',
    '</',
    '<!--',
    '<![CDATA[',
    '<!DOCTYPE x [<!ENTITY a "b">]>',
    '&a;',
    '&#x110000;',
    '&amp;',
    '<a>',
    '</a>',
    '<?',
    '"',
    '\0',
  ],
  ...[
    '<BWFXML>',
    '</BWFXML>',
    '<TRACK>',
    '<SPEED>',
    '<__proto__>',
    '<constructor>',
    'TIMESTAMP_SAMPLE_RATE',
    '\u{1f3b8}',
  ],
]

const ELEMENTS = [
  ...['FILE_SAMPLE_RATE', 'TIMESTAMP_SAMPLE_RATE', 'TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_HI'],
  ...['TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_LO', 'TIMECODE_RATE', 'TIMECODE_FLAG'],
]

/** A good file whose metadata say impossible things. */
const withAwkwardMetadata = (chance: Chance): Uint8Array => {
  const number = (): string => chance.pick([...AWKWARD_NUMBERS, '48000', '7', '1e306', '', ' 5 ', '<b>1</b>'])
  const speed = ELEMENTS.filter(() => !chance.once(3)).map(name => `<${name}>${number()}</${name}>`)
  const track = `<CHANNEL_INDEX>${number()}</CHANNEL_INDEX><INTERLEAVE_INDEX>${number()}</INTERLEAVE_INDEX><NAME>${number()}</NAME>`
  const inside = `<SCENE>${number()}</SCENE><SPEED>${speed.join('')}</SPEED><TRACK_LIST><TRACK>${track}</TRACK></TRACK_LIST>`
  const word = (): number => chance.pick([0, 1, 0x7fff, 0x8000, 0xffff])
  const broadcast = bextChunk({
    originator: chance.pick(['', 'recorder', '\u00ff\u0080']),
    date: chance.pick(['', '2026-99-99', '\0\0']),
    version: word(),
    timeReference: chance.pick([0n, 1n, 2n ** 53n, 2n ** 63n, 2n ** 64n - 1n]),
    loudness: [word(), word(), word(), word(), word()].map(value => value - 0x8000),
    history: chance.pick(['', 'A=PCM\r\n', '\0', 'x'.repeat(3000)]),
  })
  const cues = chunk(
    'cue ',
    concat(
      le(chance.pick([0, 1, 2, 0xffffffff]), 4),
      le(word(), 4),
      le(word(), 4),
      ascii('data'),
      le(0, 8),
      le(chance.pick([0, 49, 0xffffffff]), 4),
    ),
  )
  const chunks = [broadcast, ixmlChunk(inside), cues, LABELS, INFO].filter(() => !chance.once(4))
  return riff(
    plainFormat(1, 1, chance.pick([8000, 48000, 384_000]), 24),
    ...chunks,
    chunk('data', integers(VALUES, 3)),
  )
}

/** The reader of WAVE files: header, metadata, audio, and what a stem takes over of it all. */
export const waveTarget = (): Target => {
  const ground = playground()
  const file = join(ground.folder, 'input.wav')
  return {
    name: 'wave',
    ending: 'wav',
    share: 0.3,
    make: chance =>
      chance.once(5)
        ? withAwkwardMetadata(chance)
        : mutatedBytes(chance.pick(SEEDS), chance, {
            within: 1600,
            words: WORDS,
            others: SEEDS,
            mostChanges: chance.pick([1, 1, 2, 6]),
            mostBytes: 16_384,
          }),
    try: async input => {
      writeFileSync(file, input)
      const verdict = await judged(() => {
        const wave = openWave(file)
        try {
          const { channels, frames, sampleRateHz } = wave.facts
          if (frames > input.length) throw new Error(`${frames} frames in ${input.length} bytes`)
          for (const { message } of wave.warnings)
            if (
              /undefined|\[object|NaN/.test(message) &&
              !/undefined|\[object|NaN/.test(Buffer.from(input).toString('latin1'))
            )
              throw new Error(message)
          const { stampSamples } = wave.facts
          if (stampSamples !== null && !Number.isSafeInteger(stampSamples))
            throw new Error(`stamp ${stampSamples}`)
          stemChunks(
            {
              description: 'x',
              stampSamples,
              originator: 'Sumwell',
              codingHistory: [],
              reference: wave.metadata,
              referenceAtFrame: 5,
            },
            { sampleRateHz, channels, frames, depth: 24 },
          )
          const into = Array.from({ length: channels }, () => new Float64Array(64))
          for (const start of [-3, Math.max(0, frames - 30)]) {
            wave.read(start, into)
            for (const channel of into)
              for (const value of channel) if (!Number.isFinite(value)) throw new Error('not finite')
          }
        } finally {
          wave.close()
        }
      })
      ground.expectOnly(['input.wav'])
      return verdict
    },
    close: ground.remove,
  }
}
