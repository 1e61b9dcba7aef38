import { describe, expect, test } from 'vitest'
import { float64, inArena } from '../../src/signal/kernel/arena.js'
import { encoders } from '../../src/wave/encode-samples.js'
import { movedCues, parseCues } from '../../src/wave/marker-chunks.js'
import { newSampleBuffer } from '../../src/wave/sample-buffer.js'
import { openWave } from '../../src/wave/wave-file.js'
import { ascii, chunk, concat, integers, le, plainFormat, riff, temporaryFolder } from './wave-bytes.js'

/* Values at and just beside a limit: a limit that moved would show here (found by `npm run mutants`). */

const folder = temporaryFolder()

/** `cue ` points of 24 bytes: name, position, chunk, chunk start, block start, frame (RIFF specification, from memory). */
const cues = (frames: readonly number[]): Uint8Array =>
  concat(
    le(frames.length, 4),
    ...frames.map((frame, i) =>
      concat(le(i + 1, 4), le(frame, 4), ascii('data'), le(0, 4), le(0, 4), le(frame, 4)),
    ),
  )

describe('markers that move', () => {
  const movedTo = (frames: readonly number[], shift: number, length: number) => {
    const moved = movedCues(cues(frames), shift, length)
    return moved === null
      ? null
      : {
          frames: parseCues(moved.contents).map(({ frame }) => frame),
          markers: moved.markers,
          lost: moved.lost,
        }
  }

  test('stay from the first frame to just behind the last, and no further', () => {
    expect(movedTo([5, 6, 15, 16], -5, 10)).toEqual({ frames: [0, 1, 10], markers: 3, lost: 1 })
    expect(movedTo([4, 5], -5, 10)).toEqual({ frames: [0], markers: 1, lost: 1 })
    expect(movedTo([4], -5, 10)).toBeNull()
    expect(movedTo([11], 0, 10)).toBeNull()
  })

  test('fit into the four bytes that they have', () => {
    const most = 2 ** 32 - 1
    expect(movedTo([most - 1], 1, 2 ** 33)).toEqual({ frames: [most], markers: 1, lost: 0 })
    expect(movedTo([most], 1, 2 ** 33)).toBeNull()
  })

  test('keep their names and both their positions', () => {
    const moved = movedCues(cues([3, 100, 7]), 2, 50)!
    expect([...moved.contents]).toEqual([
      ...concat(le(2, 4), le(1, 4), le(5, 4), ascii('data'), le(0, 8), le(5, 4)),
      ...concat(le(3, 4), le(9, 4), ascii('data'), le(0, 8), le(9, 4)),
    ])
  })
})

describe('a LIST', () => {
  const textsWith = (...entries: Uint8Array[]) => {
    const list = chunk('LIST', concat(ascii('INFO'), ...entries))
    const file = openWave(
      folder.put('list.wav', riff(plainFormat(1, 1, 48000, 16), list, chunk('data', integers([1], 2)))),
    )
    file.close()
    return { texts: file.metadata.info, warnings: file.warnings.length }
  }

  test('ends with an entry that holds nothing, or with three bytes too few for one', () => {
    const title = chunk('INAM', ascii('bass'))
    expect(textsWith(title, concat(ascii('ICMT'), le(0, 4)))).toMatchObject({ warnings: 0 })
    expect(textsWith(title, concat(ascii('ICMT'), le(0, 4))).texts.map(({ id }) => id)).toContain('INAM')
    expect(textsWith(title, Uint8Array.of(1, 2, 3))).toMatchObject({ warnings: 0 })
    expect(textsWith(title, concat(ascii('ICMT'), le(1, 4))).warnings).toBe(1)
    expect(textsWith(concat(ascii('INAM'), le(3, 4), ascii('abc')), Uint8Array.of(0)).warnings).toBe(0)
  })
})

describe('what does not fit into a word is told by its place', () => {
  test.each(['16', '24', '32'] as const)('%s bit, one and two channels, from anywhere', depth => {
    const step = 2 ** (1 - Number(depth))
    let compared = 0
    for (const inKernel of [false, true])
      for (const [channel, stride] of [
        [0, 1],
        [1, 2],
      ] as const)
        for (const [wrong, at] of [
          [1, 6],
          [-1 - step, 6],
          [step / 2, 3],
          [Number.NaN, 0],
        ] as const) {
          const found = (inKernel ? inArena : (work: () => number[]) => work())(() => {
            const values = float64(12)
            values.fill(0.5)
            values[0] = 99 // before `from`: not looked at
            values[11] = 99 // behind the frames that count
            const buffer = newSampleBuffer(12 * 4 * stride)
            const right = encoders[depth](values, 1, 10, buffer, channel, stride)
            values[1 + at] = wrong
            return [right, encoders[depth](values, 1, 10, buffer, channel, stride)]
          })
          expect(found, `${channel}/${stride} ${wrong}`).toEqual([-1, at])
          compared++
        }
    expect(compared).toBe(16)
  })

  test('the ends of the range fit', () => {
    for (const depth of ['16', '24', '32'] as const) {
      const values = Float64Array.of(-1, 1 - 2 ** (1 - Number(depth)))
      expect(encoders[depth](values, 0, 2, newSampleBuffer(16), 0, 1)).toBe(-1)
    }
  })

  test('24-bit words of two channels stand side by side, in the memory of kernels too', () => {
    const left = [1, -2, 3, -4, 5]
    const right = [-8_388_608, 8_388_607, 0x123456, -1, 0]
    const bytes = inArena(() => {
      const [a, b] = [float64(5), float64(5)]
      left.forEach((value, i) => {
        a[i] = value / 2 ** 23
      })
      right.forEach((value, i) => {
        b[i] = value / 2 ** 23
      })
      const buffer = newSampleBuffer(2 * 3 * 5)
      encoders['24'](a, 0, 5, buffer, 0, 2)
      encoders['24'](b, 0, 5, buffer, 1, 2)
      return [...buffer.u8.subarray(0, 30)]
    })
    expect(bytes).toEqual(
      integers(
        left.flatMap((value, i) => [value, right[i]!]),
        3,
      ),
    )
  })
})

describe('room that was kept free, and chunks of an odd length', () => {
  test('a filler is no loss; an odd chunk behind open data is walked over', () => {
    const data = chunk('data', integers([1, 2], 3))
    const format = plainFormat(1, 1, 48000, 24)
    for (const id of ['JUNK', 'junk', 'PAD ', 'FLLR']) {
      const file = openWave(folder.put('filler.wav', riff(format, chunk(id, [1, 2, 3]), data)))
      file.close()
      expect([file.warnings, file.facts.frames]).toEqual([[], 2])
    }
    // `data` of size 0 with whole chunks behind it, one of them odd: it is truly empty.
    const empty = openWave(folder.put('empty.wav', riff(format, chunk('data', []), chunk('odd ', [1, 2, 3]))))
    empty.close()
    expect(empty.facts.frames).toBe(0)
  })
})
