import wavefile from 'wavefile'

/**
 * The only file that knows the library for metadata chunks. It is given single chunks inside a minimal file without audio, so
 * that nothing large passes through it. Its readers throw on damaged chunks; callers turn that into a warning.
 */

/** Fields of `bext` as the library has them. */
export interface BextFields {
  description: string
  originator: string
  originatorReference: string
  originationDate: string
  originationTime: string
  /** Low word, high word. */
  timeReference: number[]
  version: number
  /** The loudness fields are 16-bit words without a sign here: the library would write negative numbers as 0. */
  loudnessValue: number
  loudnessRange: number
  maxTruePeakLevel: number
  maxMomentaryLoudness: number
  maxShortTermLoudness: number
  codingHistory: string
}

interface CueFields {
  points: { dwName: number; dwSampleOffset: number }[]
}

const ascii = (text: string): number[] => Array.from(text, letter => letter.charCodeAt(0))
const word = (value: number): number[] => [0, 8, 16, 24].map(shift => (value >>> shift) & 0xff)

/** A mono file without audio, and one chunk more. */
const fileAround = (id: string, contents: Uint8Array): Uint8Array => {
  const format = [...ascii('fmt '), ...word(16), 1, 0, 1, 0, ...word(48000), ...word(144000), 3, 0, 24, 0]
  const data = [...ascii('data'), ...word(0)]
  const pad = contents.length % 2
  const size = 4 + format.length + data.length + 8 + contents.length + pad
  const file = new Uint8Array(8 + size)
  file.set([...ascii('RIFF'), ...word(size), ...ascii('WAVE'), ...format, ...data])
  file.set([...ascii(id), ...word(contents.length)], file.length - pad - contents.length - 8)
  file.set(contents, file.length - pad - contents.length)
  return file
}

const chunkOf = (file: Uint8Array, id: string): Uint8Array => {
  const view = new DataView(file.buffer, file.byteOffset, file.byteLength)
  for (let at = 12; at + 8 <= file.length; ) {
    const size = view.getUint32(at + 4, true)
    if (ascii(id).every((letter, index) => file[at + index] === letter)) {
      return file.slice(at + 8, at + 8 + size)
    }
    at += 8 + size + (size % 2)
  }
  throw new Error(`the library wrote no ${id} chunk`)
}

const emptyFile = (): wavefile.WaveFile => {
  const file = new wavefile.WaveFile()
  file.fromScratch(1, 48000, '24', new Int32Array(0))
  return file
}

/** Fields of a `bext` chunk (EBU Tech 3285). */
export const readBext = (contents: Uint8Array): BextFields =>
  new wavefile.WaveFile(fileAround('bext', contents)).bext as BextFields

/** Contents of a `bext` chunk. All texts must be ASCII and within their lengths: the library does not check. */
export const writeBext = (fields: BextFields): Uint8Array => {
  const file = emptyFile()
  Object.assign(file.bext, fields)
  return chunkOf(file.toBuffer(), 'bext')
}

/** Text of an `iXML` chunk. */
export const readIxmlText = (contents: Uint8Array): string =>
  (new wavefile.WaveFile(fileAround('iXML', contents)).iXML as { value: string }).value

/** Contents of an `iXML` chunk, UTF-8. */
export const writeIxmlText = (text: string): Uint8Array => {
  const file = emptyFile()
  file.setiXML(text)
  return chunkOf(file.toBuffer(), 'iXML')
}

/** Points of a `cue ` chunk. */
export const readCue = (contents: Uint8Array): CueFields =>
  new wavefile.WaveFile(fileAround('cue ', contents)).cue as CueFields
