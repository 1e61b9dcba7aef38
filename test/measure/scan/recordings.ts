import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'

/** Plain WAVE of whole words; values are rounded and clamped, 1 is full scale. Independent of src/wave. */
export const waveBytes = (rate: number, bits: 16 | 24, channels: readonly Float64Array[]): Buffer => {
  const frames = channels[0]!.length
  const word = bits / 8
  const size = frames * channels.length * word
  const bytes = Buffer.alloc(44 + size + (size % 2))
  bytes.write('RIFF', 0)
  bytes.writeUInt32LE(bytes.length - 8, 4)
  bytes.write('WAVEfmt ', 8)
  bytes.writeUInt32LE(16, 16)
  bytes.writeUInt16LE(1, 20)
  bytes.writeUInt16LE(channels.length, 22)
  bytes.writeUInt32LE(rate, 24)
  bytes.writeUInt32LE(rate * channels.length * word, 28)
  bytes.writeUInt16LE(channels.length * word, 32)
  bytes.writeUInt16LE(bits, 34)
  bytes.write('data', 36)
  bytes.writeUInt32LE(size, 40)
  const full = bits === 16 ? 32768 : 8388608
  for (let i = 0, at = 44; i < frames; i++) {
    for (const samples of channels) {
      bytes.writeIntLE(Math.max(-full, Math.min(full - 1, Math.round(samples[i]! * full))), at, word)
      at += word
    }
  }
  return bytes
}

/** A folder of its own for recordings, and a way to be rid of it. */
export const recordingFolder = (): {
  readonly write: (name: string, bytes: Buffer) => string
  readonly remove: () => void
} => {
  const folder = mkdtempSync(join(tmpdir(), 'sumwell-scan-'))
  return {
    write: (name, bytes) => {
      const file = join(folder, name)
      writeFileSync(file, bytes)
      return file
    },
    remove: () => {
      rmSync(folder, { recursive: true, force: true })
    },
  }
}

/** Rounds to the grid of so many bits, clamped: what a recording holds. */
export const onGrid = (samples: Float64Array, bits: number): Float64Array => {
  const full = Number(1n << BigInt(bits - 1))
  return samples.map(x => Math.max(-full, Math.min(full - 1, Math.round(x * full))) / full)
}
