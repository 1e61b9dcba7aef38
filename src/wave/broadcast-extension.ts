import { asciiText } from './ascii-text.js'
import type { BroadcastExtension, BroadcastLoudness } from './wave-metadata.js'
import { readBext, writeBext } from './wavefile-chunks.js'

/** Bytes of the fixed part of `bext`, before the coding history (EBU Tech 3285). */
const FIXED_BYTES = 602

/** "Not used" in a loudness field (from memory: EBU Tech 3285 v2). */
const UNUSED = 0x7fff

const untilNul = (text: string): string => text.replace(/\0[^]*$/, '').trimEnd()

/** A signed number of hundredths in a 16-bit word. */
const fromHundredths = (stored: number): number | null =>
  stored === UNUSED ? null : (stored >= 0x8000 ? stored - 0x10000 : stored) / 100

const toHundredths = (value: number | null): number => {
  if (value === null || !Number.isFinite(value)) return UNUSED
  const hundredths = Math.min(UNUSED - 1, Math.max(-0x8000, Math.round(value * 100)))
  return hundredths < 0 ? hundredths + 0x10000 : hundredths
}

/** Reads the contents of a `bext` chunk. @throws Error where it is too short */
export const parseBroadcastExtension = (contents: Uint8Array): BroadcastExtension => {
  if (contents.length < FIXED_BYTES) throw new Error(`it has ${contents.length} bytes, at least 602 are due`)
  const fields = readBext(contents)
  const [low = 0, high = 0] = fields.timeReference
  return {
    description: untilNul(fields.description),
    originator: untilNul(fields.originator),
    originatorReference: untilNul(fields.originatorReference),
    originationDate: untilNul(fields.originationDate),
    originationTime: untilNul(fields.originationTime),
    timeReference: (BigInt(high) << 32n) | BigInt(low),
    version: fields.version,
    codingHistory: untilNul(fields.codingHistory)
      .split(/[\r\n]+/)
      .filter(line => line !== ''),
    loudness:
      fields.version < 2
        ? null
        : {
            integratedLufs: fromHundredths(fields.loudnessValue),
            rangeLu: fromHundredths(fields.loudnessRange),
            truePeakDbtp: fromHundredths(fields.maxTruePeakLevel),
            momentaryLufs: fromHundredths(fields.maxMomentaryLoudness),
            shortTermLufs: fromHundredths(fields.maxShortTermLoudness),
          },
  }
}

const noLoudness: BroadcastLoudness = {
  integratedLufs: null,
  rangeLu: null,
  truePeakDbtp: null,
  momentaryLufs: null,
  shortTermLufs: null,
}

/**
 * Contents of a `bext` chunk, always an even number of bytes: version 2 with loudness, else version 1. Texts are brought to ASCII and
 * cut to their lengths; the UMID stays empty, for it names one recording and a stem is a new one.
 */
export const formatBroadcastExtension = (extension: Omit<BroadcastExtension, 'version'>): Uint8Array => {
  const history = extension.codingHistory.map(line => `${asciiText(line)}\r\n`).join('')
  const loudness = extension.loudness ?? noLoudness
  const hasLoudness = extension.loudness !== null
  const stored = (value: number | null): number => (hasLoudness ? toHundredths(value) : 0)
  return writeBext({
    description: asciiText(extension.description, 256),
    originator: asciiText(extension.originator, 32),
    originatorReference: asciiText(extension.originatorReference, 32),
    originationDate: asciiText(extension.originationDate, 10),
    originationTime: asciiText(extension.originationTime, 8),
    timeReference: [
      Number(extension.timeReference & 0xffffffffn),
      Number((extension.timeReference >> 32n) & 0xffffffffn),
    ],
    version: hasLoudness ? 2 : 1,
    loudnessValue: stored(loudness.integratedLufs),
    loudnessRange: stored(loudness.rangeLu),
    maxTruePeakLevel: stored(loudness.truePeakDbtp),
    maxMomentaryLoudness: stored(loudness.momentaryLufs),
    maxShortTermLoudness: stored(loudness.shortTermLufs),
    codingHistory: history.length % 2 === 1 ? `${history}\0` : history,
  })
}
