import type { FileBytes } from './file-bytes.js'
import type { ChunkPlace } from './riff-chunks.js'
import { headerFault, waveFault } from './wave-faults.js'
import type { SampleCoding, SampleLayout } from './wave-format.js'

export const MOST_CHANNELS = 64
export const LOWEST_RATE_HZ = 8000
export const HIGHEST_RATE_HZ = 384_000

const EXTENSIBLE = 0xfffe

/** Bytes 2 to 15 of a sub-format: 0000-0000-0010-8000-00AA00389B71 behind the tag (from memory: WAVEFORMATEXTENSIBLE). */
export const SUB_FORMAT_TAIL: readonly number[] = [0, 0, 0, 0, 0x10, 0, 0x80, 0, 0, 0xaa, 0, 0x38, 0x9b, 0x71]

/** Codings that people meet but that are not read (from memory: the registered format tags). */
const otherCodings: Readonly<Record<number, string>> = {
  0x0002: 'ADPCM',
  0x0006: 'A-law',
  0x0007: 'mu-law',
  0x0011: 'IMA ADPCM',
  0x0031: 'GSM 06.10',
  0x0050: 'MPEG audio',
  0x0055: 'MPEG layer 3',
  0x00ff: 'AAC',
  0x0092: 'AC-3',
}

const codingOf = (tag: 1 | 3, containerBytes: number): SampleCoding | undefined =>
  tag === 1
    ? (['u8', 's16', 's24', 's32'] as const)[containerBytes - 1]
    : ({ 4: 'f32', 8: 'f64' } as const)[containerBytes]

/**
 * Reads the `fmt ` chunk (RIFF WAVE; extensible as well) and checks it against itself: coding, limits, bytes per frame.
 * The stated bytes per second are not looked at: they carry nothing, and recorders get them wrong.
 * @throws SumwellError WAVE_HEADER, WAVE_FORMAT, WAVE_LIMIT
 */
export const readFormatChunk = (file: FileBytes, chunk: ChunkPlace): SampleLayout => {
  const bytes = file.slice(chunk.at, Math.min(chunk.bytes, 40))
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)
  if (bytes.length < 16) {
    throw headerFault(
      file.path,
      chunk.headerAt,
      `the fmt chunk has ${bytes.length} bytes`,
      '16, 18 or 40 bytes',
    )
  }
  const statedTag = view.getUint16(0, true)
  const channels = view.getUint16(2, true)
  const sampleRateHz = view.getUint32(4, true)
  const frameBytes = view.getUint16(12, true)
  const bits = view.getUint16(14, true)
  const extensible = statedTag === EXTENSIBLE
  if (extensible && bytes.length < 40) {
    throw headerFault(
      file.path,
      chunk.headerAt,
      `the fmt chunk is extensible but has ${bytes.length} bytes`,
      '40 bytes',
    )
  }
  const tag = extensible ? view.getUint16(24, true) : statedTag
  const strange = extensible && SUB_FORMAT_TAIL.some((value, index) => bytes[26 + index] !== value)
  if (strange || (tag !== 1 && tag !== 3)) {
    const name = strange ? 'an unknown sub-format' : (otherCodings[tag] ?? `format tag ${tag}`)
    throw waveFault('WAVE_FORMAT', file.path, `the audio is coded as ${name}`, {
      expected: 'PCM (8, 16, 24 or 32 bit) or float (32 or 64 bit)',
      mend: 'convert it to PCM with the program that made it',
    })
  }
  if (channels < 1 || channels > MOST_CHANNELS) {
    throw waveFault(
      'WAVE_LIMIT',
      file.path,
      `the header states ${channels} channels (byte ${chunk.at + 2})`,
      {
        expected: `1 to ${MOST_CHANNELS} channels`,
      },
    )
  }
  if (sampleRateHz < LOWEST_RATE_HZ || sampleRateHz > HIGHEST_RATE_HZ) {
    throw waveFault('WAVE_LIMIT', file.path, `the header states ${sampleRateHz} Hz (byte ${chunk.at + 4})`, {
      expected: `${LOWEST_RATE_HZ} to ${HIGHEST_RATE_HZ} Hz`,
    })
  }
  const containerBytes = Math.ceil(bits / 8)
  const coding = codingOf(tag, containerBytes)
  if (coding === undefined || (tag === 3 && bits % 8 !== 0)) {
    throw waveFault('WAVE_FORMAT', file.path, `the audio is ${bits} bit ${tag === 3 ? 'float' : 'PCM'}`, {
      expected: 'PCM of 8, 16, 24 or 32 bit, or float of 32 or 64 bit',
    })
  }
  if (frameBytes !== channels * containerBytes) {
    throw headerFault(
      file.path,
      chunk.at + 12,
      `the header states ${frameBytes} bytes per frame for ${channels} channels of ${bits} bit`,
      `${channels * containerBytes}`,
    )
  }
  const statedValidBits = extensible ? view.getUint16(18, true) : bits
  return {
    tag,
    extensible,
    coding,
    channels,
    sampleRateHz,
    validBits: statedValidBits === 0 || statedValidBits > bits ? bits : statedValidBits,
    channelMask: extensible ? view.getUint32(20, true) : null,
    frameBytes,
  }
}
