import fs from 'node:fs'
import os from 'node:os'
import path from 'node:path'
import { afterAll, beforeAll } from 'vitest'

/** Builds WAVE files by hand for the tests, byte by byte and independently of src/wave. */

export type Bytes = readonly number[] | Uint8Array

export const ascii = (text: string): number[] => Array.from(text, letter => letter.charCodeAt(0))

export const le = (value: number | bigint, bytes: number): number[] =>
  Array.from({ length: bytes }, (_, index) => Number((BigInt(value) >> BigInt(8 * index)) & 0xffn))

export const concat = (...parts: readonly Bytes[]): Uint8Array => {
  const all = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0))
  let at = 0
  for (const part of parts) {
    all.set(part, at)
    at += part.length
  }
  return all
}

/** A chunk with its pad byte; the size in its header can be given apart from the truth. */
export const chunk = (id: string, contents: Bytes, statedBytes = contents.length): Uint8Array =>
  concat(ascii(id), le(statedBytes, 4), contents, contents.length % 2 === 1 ? [0] : [])

export const riff = (...chunks: readonly Bytes[]): Uint8Array => {
  const body = concat(ascii('WAVE'), ...chunks)
  return concat(ascii('RIFF'), le(body.length, 4), body)
}

export const plainFormat = (tag: number, channels: number, rate: number, bits: number): Uint8Array => {
  const frame = channels * Math.ceil(bits / 8)
  const fields = [le(tag, 2), le(channels, 2), le(rate, 4), le(rate * frame, 4), le(frame, 2), le(bits, 2)]
  return chunk('fmt ', fields.flat())
}

/** The sub-format of an extensible file behind its tag (from memory: WAVEFORMATEXTENSIBLE). */
const guidTail = [0, 0, 0, 0, 0x10, 0, 0x80, 0, 0, 0xaa, 0, 0x38, 0x9b, 0x71]

export const extensibleFormat = (
  tag: number,
  channels: number,
  rate: number,
  bits: number,
  validBits: number,
  mask: number,
): Uint8Array => {
  const plain = plainFormat(0xfffe, channels, rate, bits).subarray(8)
  return chunk('fmt ', concat(plain, le(22, 2), le(validBits, 2), le(mask, 4), le(tag, 2), guidTail))
}

/** `ds64`: RIFF size, data size, frames, and a table of other long chunks. */
export const ds64 = (
  riffBytes: number,
  dataBytes: number | bigint,
  frames: number,
  table: readonly (readonly [id: string, bytes: number])[] = [],
): Uint8Array =>
  chunk(
    'ds64',
    concat(
      le(riffBytes, 8),
      le(dataBytes, 8),
      le(frames, 8),
      le(table.length, 4),
      ...table.map(([id, bytes]) => concat(ascii(id), le(bytes, 8))),
    ),
  )

export const longRiff = (container: 'RF64' | 'BW64', ...chunks: readonly Bytes[]): Uint8Array =>
  concat(ascii(container), le(0xffffffff, 4), ascii('WAVE'), ...chunks)

/** Signed integers of `bytes` bytes, interleaved as given. */
export const integers = (values: readonly number[], bytes: number): number[] =>
  values.flatMap(value => le(BigInt.asUintN(8 * bytes, BigInt(value)), bytes))

export const floats32 = (values: readonly number[]): Uint8Array =>
  new Uint8Array(Float32Array.from(values).buffer)
export const floats64 = (values: readonly number[]): Uint8Array =>
  new Uint8Array(Float64Array.from(values).buffer)

/** A fixed part of 602 bytes and the history after EBU Tech 3285; only what the tests look at is filled. */
export const bextChunk = (fields: {
  readonly description?: string
  readonly originator?: string
  readonly date?: string
  readonly timeReference?: bigint
  readonly version?: number
  readonly loudness?: readonly number[]
  readonly history?: string
}): Uint8Array => {
  const fixed = new Uint8Array(602)
  fixed.set(ascii(fields.description ?? ''), 0)
  fixed.set(ascii(fields.originator ?? ''), 256)
  fixed.set(ascii(fields.date ?? ''), 320)
  fixed.set(le(fields.timeReference ?? 0n, 8), 338)
  fixed.set(le(fields.version ?? 0, 2), 346)
  fixed.set(integers(fields.loudness ?? [], 2), 412)
  return chunk('bext', concat(fixed, ascii(fields.history ?? '')))
}

export const ixmlChunk = (inside: string): Uint8Array =>
  chunk(
    'iXML',
    new TextEncoder().encode(`<?xml version="1.0" encoding="UTF-8"?>\n<BWFXML>${inside}</BWFXML>\n`),
  )

/** A folder of its own for one test file, removed at the end. */
export const temporaryFolder = (): {
  path: (name: string) => string
  put: (name: string, bytes: Bytes) => string
} => {
  let folder = ''
  beforeAll(() => {
    folder = fs.mkdtempSync(path.join(os.tmpdir(), 'sumwell-wave-'))
  })
  afterAll(() => {
    fs.rmSync(folder, { recursive: true, force: true })
  })
  const at = (name: string): string => path.join(folder, name)
  return {
    path: at,
    put: (name, bytes) => {
      fs.writeFileSync(at(name), Uint8Array.from(bytes))
      return at(name)
    },
  }
}

/** All frames of a file by `read`, channel by channel. */
export const allFrames = (file: {
  facts: { channels: number; frames: number }
  read: (startFrame: number, into: readonly Float64Array[]) => void
}): number[][] => {
  const into = Array.from({ length: file.facts.channels }, () => new Float64Array(file.facts.frames))
  file.read(0, into)
  return into.map(values => Array.from(values))
}
