import { describe, expect, test } from 'vitest'
import { openWave, type WaveFile } from '../../src/wave/wave-file.js'
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
const format = plainFormat(1, 1, 48000, 24)
const data = chunk('data', integers([1, 2], 3))

const opened = (...chunks: readonly Bytes[]): WaveFile => {
  const file = openWave(folder.put('metadata.wav', riff(format, ...chunks, data)))
  file.close()
  return file
}
const messages = (file: WaveFile): string[] => file.warnings.map(warning => warning.message)

describe('bext', () => {
  test('all fields, at their places, cut at the first NUL', () => {
    const { metadata } = opened(
      bextChunk({
        description: 'upright bass\0rubbish',
        originator: 'recorder',
        date: '2026-09-01',
        timeReference: 0x1_0bca_b000n,
        version: 2,
        loudness: [-2310, 550, -101, 0x7fff, -1800],
        history: 'A=ANALOGUE,M=mono,T=console\r\nA=PCM,F=48000,W=24,M=mono\r\n\0\0',
      }),
    )
    expect(metadata.broadcast).toEqual({
      description: 'upright bass',
      originator: 'recorder',
      originatorReference: '',
      originationDate: '2026-09-01',
      originationTime: '',
      timeReference: 0x1_0bca_b000n,
      version: 2,
      codingHistory: ['A=ANALOGUE,M=mono,T=console', 'A=PCM,F=48000,W=24,M=mono'],
      loudness: {
        integratedLufs: -23.1,
        rangeLu: 5.5,
        truePeakDbtp: -1.01,
        momentaryLufs: null,
        shortTermLufs: -18,
      },
    })
  })

  test('version 1 has no loudness, whatever stands in the reserved bytes', () => {
    const file = opened(bextChunk({ version: 1, loudness: [1, 2, 3, 4, 5] }))
    expect(file.metadata.broadcast?.loudness).toBeNull()
  })

  test('too short or cut off: a warning, and the audio is read', () => {
    const short = opened(chunk('bext', new Uint8Array(601)))
    expect(short.metadata.broadcast).toBeNull()
    expect(messages(short)).toEqual([
      'metadata.wav: the chunk "bext" (byte 36) cannot be read and is left out: it has 601 bytes, at least 602 are due',
    ])
    expect(short.facts.frames).toBe(2)
  })
})

describe('iXML', () => {
  test('texts stay texts, tracks by their channel', () => {
    const { metadata } = opened(
      ixmlChunk(`
        <PROJECT>Lantern &amp; Street</PROJECT><SCENE>007</SCENE><TAKE>1e5</TAKE><TAPE></TAPE>
        <SPEED><TIMECODE_RATE>25/1</TIMECODE_RATE><FILE_SAMPLE_RATE>48000</FILE_SAMPLE_RATE></SPEED>
        <TRACK_LIST><TRACK_COUNT>2</TRACK_COUNT>
          <TRACK><CHANNEL_INDEX>5</CHANNEL_INDEX><INTERLEAVE_INDEX>1</INTERLEAVE_INDEX><NAME>Bässe</NAME></TRACK>
          <TRACK><CHANNEL_INDEX>2</CHANNEL_INDEX><NAME>room</NAME></TRACK>
          <TRACK><CHANNEL_INDEX>none</CHANNEL_INDEX><NAME>lost</NAME></TRACK>
        </TRACK_LIST>`),
    )
    expect(metadata.ixml).toMatchObject({
      stamp: null,
      stampRateHz: 48000,
      tellsSpeed: true,
      session: [
        ['PROJECT', 'Lantern & Street'],
        ['SCENE', '007'],
        ['TAKE', '1e5'],
      ],
      timecode: [['TIMECODE_RATE', '25/1']],
      trackNames: [
        { channel: 1, name: 'Bässe' },
        { channel: 2, name: 'room' },
      ],
    })
  })

  const bomb = `<!DOCTYPE BWFXML [<!ENTITY a "aaaaaaaaaa">${'bcdefghij'
    .split('')
    .map((name, i) => `<!ENTITY ${name} "${`&${'abcdefghi'[i]!};`.repeat(10)}">`)
    .join('')}]><BWFXML><PROJECT>&j;</PROJECT></BWFXML>`
  const hostile: readonly (readonly [string, string])[] = [
    ['no XML', 'recorded on a good day'],
    ['an open element', '<BWFXML><PROJECT>x</BWFXML>'],
    ['another root', '<html></html>'],
    ['nothing', ''],
    ['deeply nested', `<BWFXML>${'<A>'.repeat(20_000)}${'</A>'.repeat(20_000)}</BWFXML>`],
  ]
  test.each(hostile)('%s: a warning, no fault', (_, text) => {
    const file = opened(chunk('iXML', new TextEncoder().encode(text)))
    expect(file.metadata.ixml).toBeNull()
    expect(messages(file)).toHaveLength(1)
    expect(messages(file)[0]).toMatch(
      /^metadata\.wav: the chunk "iXML" \(byte 36\) cannot be read and is left out: /,
    )
    expect(file.facts.frames).toBe(2)
  })

  test('entities are never expanded to more than was written', () => {
    const file = opened(chunk('iXML', ascii(bomb)))
    expect(JSON.stringify(file.metadata.ixml ?? '').length).toBeLessThan(5 * bomb.length)
  })

  test('a key that would change all objects changes none', () => {
    opened(ixmlChunk('<__proto__><polluted>yes</polluted></__proto__><constructor>x</constructor>'))
    expect(({} as Record<string, unknown>)['polluted']).toBeUndefined()
  })

  test('over 1 MiB: not loaded, a warning', () => {
    const file = opened(ixmlChunk(`<NOTE>${'x'.repeat(1 << 20)}</NOTE>`))
    expect(file.metadata.ixml).toBeNull()
    expect(messages(file)[0]).toMatch(/over 1 MiB/)
  })

  test('a byte-order mark, NULs and blanks around it do no harm', () => {
    const text = `\ufeff<BWFXML><PROJECT>x</PROJECT></BWFXML>\n\n\0\0\0`
    expect(opened(chunk('iXML', new TextEncoder().encode(text))).metadata.ixml?.session).toEqual([
      ['PROJECT', 'x'],
    ])
  })
})

describe('markers and texts', () => {
  const point = (id: number, frame: number): Uint8Array =>
    concat(le(id, 4), le(frame, 4), ascii('data'), le(0, 8), le(frame, 4))
  const cue = chunk('cue ', concat(le(2, 4), point(1, 10), point(7, 4_000_000_000)))
  const label = (id: number, text: string): Uint8Array => chunk('labl', concat(le(id, 4), ascii(text)))
  const adtl = chunk('LIST', concat(ascii('adtl'), label(7, 'chorus\0'), label(1, 'verse\0')))
  const info = chunk(
    'LIST',
    concat(ascii('INFO'), chunk('INAM', ascii('Bass\0')), chunk('ISFT', ascii('recorder'))),
  )

  test.each([
    ['labels before markers', [info, adtl, cue]],
    ['markers first', [cue, adtl, info]],
    ['texts between', [cue, info, adtl]],
  ])('%s', (_, chunks) => {
    const file = opened(...chunks)
    expect(file.warnings).toEqual([])
    expect(file.metadata.cues).toEqual([
      { id: 1, frame: 10, label: 'verse' },
      { id: 7, frame: 4_000_000_000, label: 'chorus' },
    ])
    expect(file.metadata.info).toEqual([
      { id: 'INAM', text: 'Bass' },
      { id: 'ISFT', text: 'recorder' },
    ])
  })

  test('a list that holds lists that hold lists costs nothing', () => {
    // Read naively, each list walks all that follows it, and so does each list in it: 2^5000 steps.
    const nested = Array<Uint8Array>(5000).fill(concat(ascii('LIST'), le(4, 4), ascii('INFO')))
    const file = opened(chunk('LIST', concat(ascii('INFO'), ...nested)), ...nested.slice(0, 50))
    expect(file.metadata.info).toHaveLength(5000)
    expect(file.facts.frames).toBe(2)
  })

  test('more markers stated than there are: a warning', () => {
    const file = opened(chunk('cue ', concat(le(0xffffffff, 4), point(1, 1))))
    expect(file.metadata.cues).toEqual([])
    expect(messages(file)[0]).toMatch(/"cue ".*it is cut off/)
  })

  test('an entry that runs over the end of its list: a warning', () => {
    const file = opened(chunk('LIST', concat(ascii('INFO'), ascii('INAM'), le(500, 4), ascii('Bass'))))
    expect(messages(file)[0]).toMatch(/"LIST".*runs over its end/)
  })
})
