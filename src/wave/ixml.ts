import { XMLParser, XMLValidator } from 'fast-xml-parser'
import { ownValue } from '../terms/own-value.js'
import type { Ixml } from './wave-metadata.js'
import { readIxmlText, writeIxmlText } from './wavefile-chunks.js'

type XmlNode = Readonly<Record<string, unknown>>

const parser = new XMLParser({
  ignoreAttributes: true,
  parseTagValue: false, // a scene "007" stays a text
  trimValues: true,
  isArray: name => name === 'TRACK',
})

const isNode = (value: unknown): value is XmlNode => typeof value === 'object' && value !== null

const nodeAt = (node: XmlNode, name: string): XmlNode => {
  const value = ownValue(node, name)
  return isNode(value) ? value : {}
}

const textAt = (node: XmlNode, name: string): string => {
  const value = ownValue(node, name)
  return typeof value === 'string' ? value : ''
}

const wholeAt = (node: XmlNode, name: string): bigint | null => {
  const text = textAt(node, name)
  return /^\d{1,20}$/.test(text) ? BigInt(text) : null
}

/** No clock of a recording runs as fast; what states more states nothing. */
const FASTEST_CLOCK_HZ = 1e7

const rateAt = (node: XmlNode, name: string): number | null => {
  const rate = Number(textAt(node, name) || Number.NaN)
  return rate > 0 && rate <= FASTEST_CLOCK_HZ ? rate : null
}

/** Texts about the session that stay true for a stem: element by element, in the order in which they are written again. */
const sessionElements = ['PROJECT', 'SCENE', 'TAKE', 'TAPE'] as const
const speedElements = ['TIMECODE_RATE', 'TIMECODE_FLAG'] as const

/**
 * Reads the contents of an `iXML` chunk (root BWFXML). Nothing in it is taken for a number unless it is one; entities are not expanded.
 * @throws Error where it is no well-formed XML with that root
 */
export const parseIxml = (contents: Uint8Array): Ixml => {
  const text = readIxmlText(contents)
    .replace(/\0[^]*$/, '')
    .replace(/^\ufeff/, '')
    .trim()
  // The parser takes broken XML without a word. The validator's own package is the same code, and one more dependency.
  // eslint-disable-next-line @typescript-eslint/no-deprecated
  const valid = XMLValidator.validate(text)
  if (valid !== true) throw new Error(`${valid.err.msg} (line ${valid.err.line})`)
  const document: unknown = parser.parse(text)
  if (!isNode(document) || !Object.hasOwn(document, 'BWFXML')) throw new Error('its root is not BWFXML')
  const root = nodeAt(document, 'BWFXML')
  const speed = nodeAt(root, 'SPEED')
  const high = wholeAt(speed, 'TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_HI')
  const low = wholeAt(speed, 'TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_LO')
  const tracks = nodeAt(root, 'TRACK_LIST')['TRACK']
  return {
    text,
    stamp: low === null ? null : ((high ?? 0n) << 32n) + low,
    stampRateHz: rateAt(speed, 'TIMESTAMP_SAMPLE_RATE') ?? rateAt(speed, 'FILE_SAMPLE_RATE'),
    tellsSpeed: Object.keys(speed).length > 0,
    session: sessionElements
      .map(name => [name, textAt(root, name)] as const)
      .filter(([, value]) => value !== ''),
    timecode: speedElements
      .map(name => [name, textAt(speed, name)] as const)
      .filter(([, value]) => value !== ''),
    trackNames: (Array.isArray(tracks) ? tracks : [])
      .filter(isNode)
      .map(track => ({
        channel: Number(textAt(track, 'INTERLEAVE_INDEX') || textAt(track, 'CHANNEL_INDEX')),
        name: textAt(track, 'NAME'),
      }))
      .filter(track => Number.isSafeInteger(track.channel) && track.channel > 0 && track.name !== ''),
  }
}

export interface IxmlToWrite {
  readonly note: string
  readonly sampleRateHz: number
  readonly bitDepth: number
  /** Frames since midnight, or null: then the elements are left out. */
  readonly stampSamples: number | null
  /** One name per channel. */
  readonly trackNames: readonly string[]
  readonly session: Ixml['session']
  readonly timecode: Ixml['timecode']
}

const escaped = (text: string): string =>
  text
    // What XML 1.0 does not allow at all.
    .replace(/[^\t\n\r\x20-\ud7ff\ue000-\ufffd\u{10000}-\u{10ffff}]/gu, '')
    .replace(/&/g, '&amp;')
    .replace(/</g, '&lt;')
    .replace(/>/g, '&gt;')
    .replace(/"/g, '&quot;')

const element = (name: string, value: string | number): string =>
  `<${name}>${escaped(String(value))}</${name}>`

const block = (name: string, lines: readonly string[]): string[] => [
  `<${name}>`,
  ...lines.map(line => `  ${line}`),
  `</${name}>`,
]

/** Contents of an `iXML` chunk, always an even number of bytes (one more line end where needed). */
export const formatIxml = (stem: IxmlToWrite): Uint8Array => {
  const pairs = (list: Ixml['session']): string[] => list.map(([name, value]) => element(name, value))
  const stamp =
    stem.stampSamples === null
      ? []
      : [
          element('TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_HI', Math.floor(stem.stampSamples / 2 ** 32)),
          element('TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_LO', stem.stampSamples % 2 ** 32),
          element('TIMESTAMP_SAMPLE_RATE', stem.sampleRateHz),
        ]
  const tracks = stem.trackNames.flatMap((name, index) =>
    block('TRACK', [
      element('CHANNEL_INDEX', index + 1),
      element('INTERLEAVE_INDEX', index + 1),
      element('NAME', name),
    ]),
  )
  const lines = [
    '<?xml version="1.0" encoding="UTF-8"?>',
    ...block('BWFXML', [
      element('IXML_VERSION', '1.51'),
      ...pairs(stem.session),
      element('NOTE', stem.note),
      ...block('SPEED', [
        element('FILE_SAMPLE_RATE', stem.sampleRateHz),
        element('AUDIO_BIT_DEPTH', stem.bitDepth),
        ...pairs(stem.timecode),
        ...stamp,
      ]),
      ...block('TRACK_LIST', [element('TRACK_COUNT', stem.trackNames.length), ...tracks]),
    ]),
  ]
  const text = `${lines.join('\n')}\n`
  const bytes = writeIxmlText(text)
  return bytes.length % 2 === 0 ? bytes : writeIxmlText(`${text}\n`)
}
