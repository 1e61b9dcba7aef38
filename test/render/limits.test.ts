import fs from 'node:fs'
import os from 'node:os'
import path from 'node:path'
import { describe, expect, test } from 'vitest'
import type { PlannedStem, StemPart } from '../../src/decide/plan.js'
import { blockFrames, forEachBlock } from '../../src/render/blocks.js'
import { checksumText, readChecksums } from '../../src/render/checksum-list.js'
import { crc32 } from '../../src/render/crc32.js'
import { applyFades, edgeFadesOf } from '../../src/render/edge-fades.js'
import { holdFolder } from '../../src/render/folder-hold.js'
import { motionOf } from '../../src/render/part-motion.js'
import type { StemMix } from '../../src/render/stem-mix.js'
import { channelMaskOf, stemWords } from '../../src/render/stem-words.js'
import { refuseChangedSince, statesOf } from '../../src/render/unchanged.js'
import { toWord } from '../../src/render/word.js'
import { layOutZip } from '../../src/render/zip-layout.js'
import type { SourceReader } from '../../src/wave/source-reader.js'
import { faultOf } from '../wave/faults-of.js'
import { ascii, concat, le } from '../wave/wave-bytes.js'
import { newFolder } from './setting/takes.js'

/* Small pieces by themselves, at their limits and word for word (found by `npm run mutants`). */

const stem = (more: Partial<PlannedStem> = {}): PlannedStem =>
  ({
    name: 'bass',
    kind: 'blend',
    aligned: true,
    group: 'upright-bass',
    sampleRateHz: 48000,
    channels: 1,
    depth: 24,
    frames: 100,
    dither: false,
    ditherSeed: 'seed',
    stampSamples: 5,
    parts: [],
    ...more,
  }) as unknown as PlannedStem

describe('blocks of a stem', () => {
  test('are 32,768 frames up to eight channels, 8,192 above; the last is what is left', () => {
    expect([1, 8, 9, 64].map(blockFrames)).toEqual([32768, 32768, 8192, 8192])
    const seen: number[][] = []
    let seconds = 0
    forEachBlock(
      [stem({ frames: 70000, channels: 2 }), stem({ frames: 70000 })],
      { aborted: false, advance: s => (seconds += s) },
      (which, block, frame) => seen.push([which, frame, block.length, block[0]!.length]),
    )
    expect(seen).toEqual([
      [0, 0, 2, 32768],
      [1, 0, 1, 32768],
      [0, 32768, 2, 32768],
      [1, 32768, 1, 32768],
      [0, 65536, 2, 4464],
      [1, 65536, 1, 4464],
    ])
    expect(seconds).toBeCloseTo((2 * 70000) / 48000, 12)
    forEachBlock([], { aborted: false, advance: () => undefined }, () => seen.push([]))
    expect(seen).toHaveLength(6)
  })

  test('end where the run is interrupted', () => {
    const stopped = { aborted: true, advance: () => undefined }
    const fault = faultOf(() => {
      forEachBlock([stem()], stopped, () => undefined)
    })
    expect(fault.code).toBe('INTERRUPTED')
  })
})

describe('CRC-32', () => {
  // Of an empty text, and of one, three, four and five letters a: computed with zlib.
  test.each([
    ['', 0],
    ['a', 0xe8b7be43],
    ['aaa', 0xf007732d],
    ['aaaa', 0xad98e545],
    ['123456789', 0xcbf43926],
  ])('%j', (text, expected) => {
    expect(crc32(Uint8Array.from(ascii(text)))).toBe(expected)
  })
})

describe('an archive, byte by byte (APPNOTE 6.3, from memory)', () => {
  test('of one short file', () => {
    const { headers, directory, totalBytes } = layOutZip([{ name: 'ä.wav', bytes: 7, crc32: 0x01020304 }])
    const name = new TextEncoder().encode('ä.wav')
    const common = concat(
      le(20, 2),
      le(0x0800, 2),
      le(0, 2),
      le(0, 2),
      le(0x21, 2),
      le(0x01020304, 4),
      le(7, 4),
      le(7, 4),
    )
    expect([...headers[0]!]).toEqual([...concat(le(0x04034b50, 4), common, le(6, 2), le(0, 2), name)])
    const line = concat(
      ...[le(0x02014b50, 4), le((3 << 8) | 45, 2), common, le(6, 2), le(0, 2), le(0, 2), le(0, 2), le(0, 2)],
      ...[le(0o100644 * 0x10000, 4), le(0, 4), name],
    )
    const end = concat(
      le(0x06054b50, 4),
      le(0, 2),
      le(0, 2),
      le(1, 2),
      le(1, 2),
      le(line.length, 4),
      le(36 + 7, 4),
      le(0, 2),
    )
    expect([...directory]).toEqual([...concat(line, end)])
    expect(totalBytes).toBe(36 + 7 + line.length + end.length)
  })

  test('long fields from just over the largest on, and for 65,535 files', () => {
    const extraOf = (bytes: number): number => {
      const [header] = layOutZip([{ name: 'a', bytes, crc32: 0 }], 100).headers
      return header!.length - 31
    }
    expect([extraOf(100), extraOf(101)]).toEqual([0, 20])
    // A header of 31 bytes and the file end exactly at the largest offset, or one beyond it.
    const endsLong = (bytes: number): boolean => {
      const { directory } = layOutZip([{ name: 'a', bytes, crc32: 0 }], 100)
      return Buffer.from(directory).includes(Buffer.from(le(0x06064b50, 4)))
    }
    expect([endsLong(69), endsLong(70)]).toEqual([false, true])
    const hasLongEnd = (count: number): boolean => {
      const entries = Array.from({ length: count }, () => ({ name: 'a', bytes: 0, crc32: 0 }))
      return Buffer.from(layOutZip(entries).directory).includes(Buffer.from(le(0x06064b50, 4)))
    }
    expect([hasLongEnd(0xfffe), hasLongEnd(0xffff)]).toEqual([false, true])
  })

  test('the end of a long archive points at its own beginning', () => {
    const { directory, totalBytes } = layOutZip([{ name: 'a', bytes: 150, crc32: 9 }], 100)
    const bytes = Buffer.from(directory)
    const start = totalBytes - directory.length
    const at = bytes.indexOf(Buffer.from(le(0x06064b50, 4)))
    expect(start).toBe(31 + 20 + 150)
    expect([...bytes.subarray(at, at + 56)]).toEqual([
      ...concat(le(0x06064b50, 4), le(44, 8), le((3 << 8) | 45, 2), le(45, 2), le(0, 4), le(0, 4)),
      ...concat(le(1, 8), le(1, 8), le(at, 8), le(start, 8)),
    ])
    expect([...bytes.subarray(at + 56, at + 76)]).toEqual([
      ...concat(le(0x07064b50, 4), le(0, 4), le(start + at, 8), le(1, 4)),
    ])
  })
})

describe('fades at the edges', () => {
  const source = (samples: readonly number[]): SourceReader =>
    ({
      channels: 1,
      facts: { sampleRateHz: 1000 },
      read: (start: number, into: readonly Float64Array[]) => {
        into[0]!.forEach((_, i) => {
          into[0]![i] = samples[start + i] ?? 0
        })
      },
    }) as unknown as SourceReader

  test('over −60 dBFS in the first or last millisecond, 5 ms long, no longer than the sound', () => {
    const loud = [0.0011, ...new Array<number>(18).fill(0.5), 0.001]
    expect(edgeFadesOf(source(loud), 0, 20)).toEqual({
      startFrame: 0,
      endFrame: 20,
      fadeFrames: 5,
      fadesIn: true,
      fadesOut: false,
    })
    expect(edgeFadesOf(source(loud), 1, 19)).toMatchObject({ fadesIn: true, fadesOut: true, fadeFrames: 5 })
    expect(edgeFadesOf(source(loud), 3, 6)).toMatchObject({ fadeFrames: 3 })
    expect(edgeFadesOf(source(loud), 6, 6)).toMatchObject({ fadeFrames: 0, fadesIn: false, fadesOut: false })
  })

  test('follow 3u² − 2u³, and outside them is silence; elsewhere nothing is touched', () => {
    const fades = { startFrame: 10, endFrame: 20, fadeFrames: 4, fadesIn: true, fadesOut: true }
    const u = (x: number): number => x * x * (3 - 2 * x)
    const whole = [0, 0, 0, u(0.25), u(0.5), u(0.75), 1, 1, u(0.75), u(0.5), u(0.25), 0, 0]
    const faded = (first: number, count: number, more: Partial<typeof fades> = {}): number[] => {
      const block = [new Float64Array(count).fill(1), new Float64Array(count).fill(1)]
      applyFades({ ...fades, ...more }, block, first)
      expect(block[1]).toEqual(block[0])
      return [...block[0]!]
    }
    expect(faded(8, 13)).toEqual(whole)
    // In blocks it is the same.
    for (const cut of [1, 3, 5, 9]) expect([...faded(8, cut), ...faded(8 + cut, 13 - cut)]).toEqual(whole)
    expect(faded(8, 13, { fadesIn: false }).slice(0, 8)).toEqual(new Array(8).fill(1))
    expect(faded(8, 13, { fadesOut: false }).slice(6)).toEqual(new Array(7).fill(1))
  })
})

describe('how a part is carried to the stem', () => {
  const part = (atSamples: number): StemPart =>
    ({ atSamples, recordedAtSamples: 0, follow: null }) as unknown as StemPart

  test('whole frames are a copy; fractions draw on as many frames as the filter is long', () => {
    const copy = motionOf(part(-3), 48000)
    expect(copy.reachFrames).toBe(0)
    expect(copy.sourceFrameAt(10)).toBe(13)
    expect(copy.inputRange(10, 5)).toEqual({ start: 13, length: 5 })
    const output = new Float64Array(2)
    copy.apply(0, Float64Array.of(1, 2, 3), 0, output)
    expect([...output]).toEqual([1, 2])
    const moved = motionOf(part(2.25), 48000)
    expect(moved.reachFrames).toBe(32)
    expect(moved.sourceFrameAt(10)).toBe(7.75)
    expect(moved.inputRange(10, 5)).toEqual({ start: 10 - 2 - 32, length: 5 + 64 })
    const line = new Float64Array(5 + 64).fill(1)
    const level = new Float64Array(5)
    moved.apply(10, line, 0, level)
    for (const value of level) expect(value).toBeCloseTo(1, 6)
  })
})

describe('the word of a stem that is exact but for its fades', () => {
  const words = (fadedFrames: readonly { start: number; end: number }[], cut: readonly number[]) => {
    const mix = { parts: [{ fadedFrames }] } as unknown as StemMix
    const write = toWord(stem({ depth: 16 }), mix)
    const values: number[] = []
    let at = 0
    for (const frames of cut) {
      const block = [new Float64Array(frames).fill(0.25 / 32768)]
      write(block, at)
      values.push(...block[0]!)
      at += frames
    }
    return values
  }

  test('is dithered within them and rounded outside, wherever blocks begin', () => {
    const stretches = [
      { start: 40, end: 60 },
      { start: 10, end: 30 },
      { start: 20, end: 35 },
    ]
    const whole = words(stretches, [100])
    const isQuiet = (from: number, to: number): boolean => whole.slice(from, to).every(value => value === 0)
    expect([isQuiet(0, 10), isQuiet(35, 40), isQuiet(60, 100)]).toEqual([true, true, true])
    expect([isQuiet(10, 35), isQuiet(40, 60)]).toEqual([false, false])
    for (const value of whole) expect(Math.abs(value * 32768)).toBeLessThanOrEqual(1)
    expect(words(stretches, [15, 10, 20, 55])).toEqual(whole)
  })

  test('floats are left alone', () => {
    const write = toWord(stem({ depth: '32f' }), { parts: [] } as unknown as StemMix)
    const block = [Float64Array.of(0.1, 3)]
    write(block, 0)
    expect([...block[0]!]).toEqual([0.1, 3])
  })
})

describe('what a stem says of itself', () => {
  const words = (
    more: Partial<PlannedStem>,
    carried: Parameters<typeof stemWords>[2] = null,
    take: string | null = '4',
  ) => stemWords(stem(more), { song: 'Lantern Street', take }, carried)

  test('title, history and stamp', () => {
    expect(words({})).toEqual({
      description: 'Lantern Street, take 4: bass',
      stampSamples: 5,
      originator: 'Sumwell',
      codingHistory: ['A=PCM,F=48000,W=24,M=mono,T=Sumwell aligned blend bass'],
      trackNames: ['bass'],
    })
    expect(words({}, null, null).description).toBe('Lantern Street: bass')
    expect(words({ kind: 'source' }).codingHistory[0]).toContain('T=Sumwell aligned bass')
    expect(words({ aligned: false }).codingHistory[0]).toContain('T=Sumwell blend as recorded bass')
  })

  test('names of tracks: those of the recording where it is whole, else sides or numbers', () => {
    const carried = (isWhole: boolean) =>
      ({
        isWhole,
        atFrame: 3,
        file: {
          metadata: {
            ixml: {
              trackNames: [
                { channel: 1, name: 'near' },
                { channel: 2, name: '' },
              ],
            },
          },
        },
      }) as unknown as Parameters<typeof stemWords>[2]
    expect(words({ channels: 2 }).trackNames).toEqual(['bass left', 'bass right'])
    expect(words({ channels: 3 }).trackNames).toEqual(['bass 1', 'bass 2', 'bass 3'])
    expect(words({ channels: 2 }, carried(true)).trackNames).toEqual(['bass near', 'bass right'])
    expect(words({ channels: 2 }, carried(false)).trackNames).toEqual(['bass left', 'bass right'])
    expect(words({ channels: 2 }, carried(true))).toMatchObject({ referenceAtFrame: 3 })
    expect(words({}, carried(true)).trackNames).toEqual(['bass'])
  })

  test('loudspeaker positions of a recording with as many channels, the first that has any', () => {
    const part = (channels: number, own: number, channelMask: number | null) => ({
      channels,
      source: { facts: { channels: own }, file: { format: { channelMask } } },
    })
    const maskOf = (...parts: ReturnType<typeof part>[]) =>
      channelMaskOf(stem({ channels: 2 }), { parts } as unknown as StemMix)
    expect(maskOf(part(1, 1, 4), part(2, 2, null), part(2, 2, 0), part(2, 2, 3), part(2, 2, 9))).toBe(3)
    expect(maskOf(part(2, 6, 63), part(1, 2, 3))).toBeUndefined()
  })
})

describe('the list of checksums', () => {
  test('is in the order of bytes; lines that are none, and names with folders in them, are passed over', () => {
    const [a, b] = ['a'.repeat(64), 'b'.repeat(64)] as const
    expect(
      checksumText(
        new Map([
          ['b.wav', a],
          ['B.wav', b],
          ['a.wav', b],
        ]),
      ),
    ).toBe(`${b}  B.wav\n${b}  a.wav\n${a}  b.wav\n`)
    const file = path.join(newFolder(), 'SUMS')
    fs.writeFileSync(
      file,
      `${a}  one\n${b} *two\n${a} three\n${a}x  four\n${a}  ../five\n${a}  a\\b\n # no\n${a}  \n`,
    )
    expect([...readChecksums(file)!]).toEqual([
      ['one', a],
      ['two', b],
    ])
    expect(readChecksums(path.join(path.dirname(file), 'none'))).toBeNull()
    expect(readChecksums(path.dirname(file))).toBeNull()
  })
})

describe('a folder that is held', () => {
  test('says by whom and what to do, and is free again afterwards', () => {
    const folder = path.join(newFolder(), 'deep', 'er')
    const hold = holdFolder(folder)
    expect(hold).toMatchObject({ folder, workshop: path.join(folder, '.sumwell-workshop') })
    expect(fs.readdirSync(folder).sort()).toEqual(['.sumwell-busy', '.sumwell-workshop'])
    const busy = faultOf(() => holdFolder(folder))
    expect(busy).toMatchObject({
      code: 'WRITE_BUSY',
      file: folder,
      message: `another render is at work in this folder (process ${process.pid} on ${os.hostname()})`,
      mend: `wait until it is done; if there is none, remove ${path.join(folder, '.sumwell-busy')}`,
    })
    const listeners = process.listenerCount('exit')
    hold.release()
    hold.release()
    expect(process.listenerCount('exit')).toBe(listeners - 1)
    expect(fs.readdirSync(folder)).toEqual([])
    holdFolder(folder).release()
  })

  test('a workshop that was left behind is emptied', () => {
    const folder = newFolder()
    fs.mkdirSync(path.join(folder, '.sumwell-workshop'))
    fs.writeFileSync(path.join(folder, '.sumwell-workshop', 'left'), 'x')
    const hold = holdFolder(folder)
    expect(fs.readdirSync(hold.workshop)).toEqual([])
    hold.release()
  })
})

describe('recordings since they were measured', () => {
  test('changed, gone or come: all told at once; out of reach before and now is no change', () => {
    const folder = newFolder()
    const files = ['same', 'changed', 'gone', 'new', 'never'].map(name => path.join(folder, name))
    const [same, changed, gone, fresh, never] = files as [string, string, string, string, string]
    for (const file of [same, changed, gone]) fs.writeFileSync(file, '1')
    const states = statesOf(files)
    refuseChangedSince(states)
    fs.appendFileSync(changed, '2')
    fs.rmSync(gone)
    fs.writeFileSync(fresh, '1')
    let told: readonly { file?: string | null; message: string; mend?: string | null }[] = []
    try {
      refuseChangedSince(states)
    } catch (error) {
      told = (error as { faults: typeof told }).faults
    }
    expect(told.map(({ file }) => file)).toEqual([changed, gone, fresh])
    expect(told[0]).toMatchObject({
      message: 'the file was changed since it was measured',
      mend: 'wait until the recording or copying has ended, then run again; nothing was delivered',
    })
    expect(fs.existsSync(never)).toBe(false)
  })
})
