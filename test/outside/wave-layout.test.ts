import fs from 'node:fs'
import { describe, expect, test } from 'vitest'
import { formatBroadcastExtension } from '../../src/wave/broadcast-extension.js'
import { codingHistoryLine } from '../../src/wave/stem-metadata.js'
import { openWave } from '../../src/wave/wave-file.js'
import { layOutHeader, type WaveLayout } from '../../src/wave/wave-header.js'
import { createWave } from '../../src/wave/wave-writer.js'
import { temporaryFolder } from '../wave/wave-bytes.js'

// Offsets, sizes and bytes after: EBU Tech 3285 v2 §2.3 (bext), EBU Tech 3306 (RF64, ds64), RIFF specification 1991 (from memory),
// WAVEFORMATEXTENSIBLE (from memory). The numbers were computed by hand from those, not by this program.

const folder = temporaryFolder()
const hex = (bytes: Uint8Array): string => Buffer.from(bytes).toString('hex')
const view = (bytes: Uint8Array): DataView => new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)
const idAt = (bytes: Uint8Array, at: number): string => Buffer.from(bytes).toString('latin1', at, at + 4)

const mono24 = (frames: number): WaveLayout => ({
  sampleRateHz: 48000,
  channels: 1,
  frames,
  depth: 24,
  channelMask: null,
  chunks: [],
})

describe('4801 frames, mono, 24 bit: an odd number of bytes', () => {
  test('plain: data header at 36, samples at 44, 14403 bytes, one pad byte, RIFF size 14440, file 14448', () => {
    const { header, dataBytes, padBytes, fileBytes } = layOutHeader(mono24(4801))
    expect(header).toHaveLength(44)
    expect([dataBytes, padBytes, fileBytes]).toEqual([14403, 1, 14448])
    expect(hex(header)).toBe(
      [
        '52494646', // RIFF
        '68380000', // 14440
        '57415645', // WAVE
        '666d742010000000', // fmt, 16 bytes
        '01000100', // PCM, one channel
        '80bb0000', // 48000
        '80320200', // 144000 bytes a second
        '03001800', // 3 bytes a frame, 24 bits
        '64617461', // data
        '43380000', // 14403
      ].join(''),
    )
  })

  test('as RF64: ds64 at 12, fmt at 48, data header at 72, samples at 80, riffSize 14476, file 14484', () => {
    const { header, fileBytes } = layOutHeader(mono24(4801), 1000)
    expect(header).toHaveLength(80)
    expect(fileBytes).toBe(14484)
    expect([0, 8, 12, 48, 72].map(at => idAt(header, at))).toEqual(['RF64', 'WAVE', 'ds64', 'fmt ', 'data'])
    const read = view(header)
    expect(read.getUint32(4, true)).toBe(0xffffffff)
    expect(read.getUint32(16, true)).toBe(28)
    expect(read.getBigUint64(20, true)).toBe(14476n)
    expect(read.getBigUint64(28, true)).toBe(14403n)
    expect(read.getBigUint64(36, true)).toBe(4801n)
    expect(read.getUint32(44, true)).toBe(0)
    expect(read.getUint32(76, true)).toBe(0xffffffff)
  })

  test('the pad byte stands in the file, and the file has the size that its header says', () => {
    const path = folder.path('odd.wav')
    const metadata = { description: 'd', stampSamples: 0, originator: 'Sumwell', codingHistory: [] } as const
    const writer = createWave({ path, sampleRateHz: 48000, channels: 1, frames: 4801, depth: 24, metadata })
    writer.write([new Float64Array(4801).fill(-(2 ** -23))], 4801)
    writer.commit()
    const bytes = fs.readFileSync(path)
    expect(view(bytes).getUint32(4, true)).toBe(bytes.length - 8)
    expect(bytes.length % 2).toBe(0)
    expect(hex(bytes.subarray(-4))).toBe('ffffff00')
  })
})

describe('RF64 begins where 32 bits end', () => {
  // The largest plain file has a RIFF size of 0xFFFFFFFE: 0xFFFFFFFF means "see ds64".
  const longest = Math.floor((0xfffffffe - 36) / 3)

  test('one frame more makes it RF64', () => {
    expect(idAt(layOutHeader(mono24(longest - 1)).header, 0)).toBe('RIFF')
    expect(idAt(layOutHeader(mono24(longest + 1)).header, 0)).toBe('RF64')
  })

  test('mono after 8.285 h, stereo after 4.143 h, at 48 kHz and 24 bit', () => {
    const container = (hours: number, channels: number): string =>
      idAt(layOutHeader({ ...mono24(Math.round(hours * 3600 * 48000)), channels }).header, 0)
    expect([container(8.284, 1), container(8.286, 1)]).toEqual(['RIFF', 'RF64'])
    expect([container(4.142, 2), container(4.144, 2)]).toEqual(['RIFF', 'RF64'])
  })

  test('1 500 000 001 frames: sizes over 32 bits are exact', () => {
    const { header, fileBytes, padBytes } = layOutHeader(mono24(1_500_000_001))
    expect(view(header).getBigUint64(28, true)).toBe(4_500_000_003n)
    expect(padBytes).toBe(1)
    expect(fileBytes).toBe(4_500_000_003 + 80 + 1)
  })
})

describe('fmt', () => {
  test('extensible: 40 bytes, 22 of extension, the sub-formats of PCM and float', () => {
    const pcm = layOutHeader({ ...mono24(1), channels: 6, channelMask: 0x60f }).header
    expect(hex(pcm.subarray(12, 60))).toBe(
      '666d742028000000' +
        'feff0600' +
        '80bb0000' +
        '002f0d00' +
        '12001800' +
        '16001800' +
        '0f060000' +
        '0100000000001000800000aa00389b71',
    )
    const float = layOutHeader({ ...mono24(1), channels: 3, depth: '32f' }).header
    expect(hex(float.subarray(36, 60))).toBe('16002000' + '00000000' + '0300000000001000800000aa00389b71')
  })

  test('float: tag 3, an extension of no bytes, and a fact chunk with the frames', () => {
    const { header } = layOutHeader({ ...mono24(4801), depth: '32f' })
    expect(hex(header.subarray(12, 50))).toBe(
      '666d742012000000' +
        '03000100' +
        '80bb0000' +
        '00ee0200' +
        '04002000' +
        '0000' +
        '6661637404000000' +
        'c1120000',
    )
  })
})

describe('bext', () => {
  const bext = (more: Partial<Parameters<typeof formatBroadcastExtension>[0]>): Uint8Array =>
    formatBroadcastExtension({
      description: 'D',
      originator: 'O',
      originatorReference: 'R',
      originationDate: '2026-09-01',
      originationTime: '13:00:00',
      timeReference: 0n,
      codingHistory: [],
      loudness: null,
      ...more,
    })

  test('every field stands at its offset', () => {
    const bytes = bext({ codingHistory: ['H'] })
    const found = [0, 256, 288, 602].map(at => String.fromCharCode(bytes[at]!))
    expect(found).toEqual(['D', 'O', 'R', 'H'])
    expect(Buffer.from(bytes).toString('latin1', 320, 338)).toBe('2026-09-0113:00:00')
    expect(view(bytes).getUint16(346, true)).toBe(1)
    expect(bytes.subarray(348, 602).every(byte => byte === 0)).toBe(true)
    expect(hex(bytes.subarray(602))).toBe('480d0a00') // CR LF, and a NUL that makes the size even
  })

  test('time reference: 13:00:00 at 48 k and 96 k, low word first', () => {
    expect(hex(bext({ timeReference: 2_246_400_000n }).subarray(338, 346))).toBe('0058e58500000000')
    expect(hex(bext({ timeReference: 4_492_800_000n }).subarray(338, 346))).toBe('00b0ca0b01000000')
  })

  test('loudness in hundredths, signed: -23.10 LUFS is fa f6; 0x7FFF where unused', () => {
    const loudness = {
      integratedLufs: -23.1,
      rangeLu: 5.55,
      truePeakDbtp: -1,
      momentaryLufs: null,
      shortTermLufs: -327.68,
    }
    const bytes = bext({ loudness })
    expect(view(bytes).getUint16(346, true)).toBe(2)
    expect(hex(bytes.subarray(412, 422))).toBe('faf6' + '2b02' + '9cff' + 'ff7f' + '0080')
    expect(bytes.subarray(422, 602).every(byte => byte === 0)).toBe(true)
  })

  test('the coding history of 37 bytes makes 639, brought to 640', () => {
    // Form of the line from memory: EBU R 98.
    const line = codingHistoryLine(48000, 24, 1, 'Sumwell')
    expect(line).toBe('A=PCM,F=48000,W=24,M=mono,T=Sumwell')
    expect(`${line}\r\n`).toHaveLength(37)
    expect(bext({ codingHistory: [line] })).toHaveLength(640)
    expect(bext({ codingHistory: [`${line}.`] })).toHaveLength(640)
  })
})

test('a stamp over 2^31 is not read as negative, and one over 2^32 keeps its high word', () => {
  for (const [rate, stampSamples] of [
    [48000, 13 * 3600 * 48000],
    [96000, 13 * 3600 * 96000],
    [192_000, Math.ceil(2 ** 32 / 192_000) * 192_000], // just after 06:12:49
  ] as const) {
    const path = folder.path('stamp.wav')
    const metadata = { description: 'd', stampSamples, originator: 'Sumwell', codingHistory: [] } as const
    createWave({ path, sampleRateHz: rate, channels: 1, frames: 0, depth: 16, metadata }).commit()
    const file = openWave(path)
    file.close()
    expect(file.facts.stampSamples).toBe(stampSamples)
    expect(file.metadata.broadcast?.timeReference).toBe(BigInt(stampSamples))
    expect(file.metadata.ixml?.stamp).toBe(BigInt(stampSamples))
  }
})
