import fs from 'node:fs'
import fc from 'fast-check'
import { afterEach, describe, expect, test, vi } from 'vitest'
import { refuseChanged } from '../../src/wave/refuse-changed.js'
import { openWave } from '../../src/wave/wave-file.js'
import { faultOf } from './faults-of.js'
import {
  chunk,
  concat,
  extensibleFormat,
  floats32,
  floats64,
  integers,
  plainFormat,
  riff,
  temporaryFolder,
} from './wave-bytes.js'

const folder = temporaryFolder()

/** Noise from a linear congruential sequence: 24-bit integers. */
const noise = (count: number): number[] => {
  let state = 1
  return Array.from({ length: count }, () => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) | 0
    return state >> 8
  })
}

const makers = [
  {
    name: '24 bit mono',
    channels: 1,
    make: (v: number[]) => riff(plainFormat(1, 1, 48000, 24), chunk('data', integers(v, 3))),
  },
  {
    name: '24 bit, 5 channels',
    channels: 5,
    make: (v: number[]) => riff(extensibleFormat(1, 5, 48000, 24, 24, 0), chunk('data', integers(v, 3))),
  },
  {
    name: '16 bit stereo',
    channels: 2,
    make: (v: number[]) =>
      riff(
        plainFormat(1, 2, 48000, 16),
        chunk(
          'data',
          integers(
            v.map(x => x >> 8),
            2,
          ),
        ),
      ),
  },
  {
    name: '32 bit float, 3 channels',
    channels: 3,
    make: (v: number[]) =>
      riff(plainFormat(3, 3, 48000, 32), chunk('data', floats32(v.map(x => x / 2 ** 23)))),
  },
  {
    name: '64 bit float mono',
    channels: 1,
    make: (v: number[]) =>
      riff(plainFormat(3, 1, 48000, 64), chunk('data', floats64(v.map(x => x / 2 ** 23)))),
  },
  {
    name: '8 bit mono',
    channels: 1,
    make: (v: number[]) =>
      riff(
        plainFormat(1, 1, 48000, 8),
        chunk(
          'data',
          v.map(x => (x >> 16) + 128),
        ),
      ),
  },
]

describe.each(makers)('$name', ({ name, channels, make }) => {
  // Larger than the read buffer in each case, so that its ends are met; the smallest buffer holds one frame.
  test.each([
    { bufferBytes: 1 << 20, values: 1_000_000, longest: 3000, veryLong: 150_000 },
    { bufferBytes: 1000, values: 5000, longest: 400, veryLong: 2000 },
    { bufferBytes: 1, values: 200, longest: 30, veryLong: 100 },
  ])('frames at random places equal the whole: buffer of $bufferBytes bytes', setting => {
    const frames = Math.ceil(setting.values / channels)
    const stored = noise(frames * channels)
    const scale = name.startsWith('16')
      ? (x: number) => (x >> 8) / 2 ** 15
      : name.startsWith('8')
        ? (x: number) => (x >> 16) / 2 ** 7
        : name.startsWith('32')
          ? (x: number) => Math.fround(x / 2 ** 23)
          : (x: number) => x / 2 ** 23
    const path = folder.put(`${name}-${setting.bufferBytes}.wav`, make(stored))
    const file = openWave(path, { bufferBytes: setting.bufferBytes })
    expect(file.facts.frames).toBe(frames)
    const place = fc.oneof(
      fc.integer({ min: -200, max: frames + 200 }),
      fc.integer({ min: 0, max: 40 }).map(step => Math.floor((step * frames) / 40)),
    )
    const length = fc.oneof(
      { weight: 4, arbitrary: fc.integer({ min: 0, max: setting.longest }) },
      { weight: 1, arbitrary: fc.constant(setting.veryLong) },
    )
    let compared = 0
    const check = (start: number, count: number): void => {
      const into = Array.from({ length: channels }, () => new Float64Array(count).fill(99))
      file.read(start, into)
      into.forEach((values, channel) => {
        let wrong = 0
        for (let i = 0; i < count; i++) {
          const frame = start + i
          const outside = frame < 0 || frame >= frames
          if (values[i] !== (outside ? 0 : scale(stored[frame * channels + channel]!))) wrong++
        }
        compared += count
        if (wrong > 0) throw new Error(`${wrong} of ${count} frames from ${start} on differ`)
      })
    }
    fc.assert(
      fc.property(fc.array(fc.tuple(place, length), { minLength: 1, maxLength: 12 }), requests => {
        for (const [start, count] of requests) check(start, count)
      }),
      { seed: 20_260_901, numRuns: setting.bufferBytes > 1000 ? 10 : 40 },
    )
    // And in order, with an overlap, as the measuring does it.
    const hop = Math.ceil(setting.longest / 2)
    for (let start = -hop; start < frames; start += hop) check(start, setting.longest)
    expect(compared).toBeGreaterThan(2 * frames * channels)
    file.close()
  })
})

describe('work done for a read', () => {
  afterEach(() => {
    vi.restoreAllMocks()
  })

  const stored = noise(1_000_000)
  const bytes = riff(plainFormat(1, 1, 48000, 24), chunk('data', integers(stored, 3)))

  /** Bytes and system calls that an action reads. */
  const counted = (action: () => void): { calls: number; bytes: number } => {
    const real = fs.readSync
    const count = { calls: 0, bytes: 0 }
    vi.spyOn(fs, 'readSync').mockImplementation((...args: Parameters<typeof fs.readSync>) => {
      const done = real(...args)
      count.calls++
      count.bytes += done
      return done
    })
    action()
    vi.restoreAllMocks()
    return count
  }

  test('small requests in a row cost one call per 256 KiB, and every byte is read once', () => {
    const file = openWave(folder.put('row.wav', bytes))
    const into = [new Float64Array(1000)]
    const work = counted(() => {
      for (let frame = 0; frame < 1_000_000; frame += 1000) file.read(frame, into)
    })
    expect(work.bytes).toBe(3_000_000)
    expect(work.calls).toBeLessThanOrEqual(12)
    file.close()
  })

  test('overlapping windows cost no more, longer than what is always kept too', () => {
    const file = openWave(folder.put('overlap.wav', bytes))
    const into = [new Float64Array(65_536)]
    const work = counted(() => {
      for (let frame = 0; frame < 1_000_000; frame += 16_384) file.read(frame, into)
    })
    expect(work.bytes).toBe(3_000_000)
    file.close()
  })

  test('a jump does not read a MiB for a few frames', () => {
    const file = openWave(folder.put('jump.wav', bytes))
    const into = [new Float64Array(10)]
    file.read(0, into)
    const work = counted(() => {
      for (const frame of [900_000, 700_000, 500_000]) file.read(frame, into)
    })
    expect(work.bytes).toBeLessThanOrEqual(3 * 65_536)
    file.close()
  })

  test('opening reads the header, not the audio', () => {
    const path = folder.put('open.wav', bytes)
    const work = counted(() => {
      openWave(path).close()
    })
    expect(work.bytes).toBeLessThan(200)
  })
})

describe('NaN and infinity', () => {
  const at = (frame: number, value: number, bits: 32 | 64): Uint8Array => {
    const values = Array.from({ length: 2 * 5000 }, (_, index) => (index === 2 * frame + 1 ? value : 0.25))
    const encode = bits === 32 ? floats32 : floats64
    return riff(plainFormat(3, 2, 48000, bits), chunk('data', encode(values)))
  }
  test.each([
    [0, Number.NaN, 32, 'frame 0 (0.000 s) of channel 2 is NaN (not a number)'],
    [4999, Number.POSITIVE_INFINITY, 32, 'frame 4999 (0.104 s) of channel 2 is infinity'],
    [2400, Number.NEGATIVE_INFINITY, 64, 'frame 2400 (0.050 s) of channel 2 is infinity'],
    [1, Number.NaN, 64, 'frame 1 (0.000 s) of channel 2 is NaN (not a number)'],
  ] as const)('frame %i, %d, %i bit', (frame, value, bits, message) => {
    const file = openWave(folder.put('nan.wav', at(frame, value, bits)))
    const whole = (): void => {
      file.read(-100, [new Float64Array(5200), new Float64Array(5200)])
    }
    expect(faultOf(whole)).toMatchObject({ code: 'WAVE_NOT_A_NUMBER', message, file: file.path })
    // The channel that is sound, and the frames beside it, can still be read.
    file.readChannels(0, [0], [new Float64Array(5000)])
    if (frame > 0) file.read(0, [new Float64Array(frame), new Float64Array(frame)])
    file.close()
  })
})

describe('a file that changes under the reader', () => {
  const small = riff(
    plainFormat(1, 1, 48000, 16),
    chunk(
      'data',
      integers(
        noise(1000).map(x => x >> 8),
        2,
      ),
    ),
  )

  test('is told by changed(): written to, replaced, removed', () => {
    const steps: readonly (readonly [string, (path: string) => void])[] = [
      ['nothing', () => undefined],
      [
        'appended',
        path => {
          fs.appendFileSync(path, 'x')
        },
      ],
      [
        'touched',
        path => {
          fs.utimesSync(path, 1, 1)
        },
      ],
      [
        'replaced',
        path => {
          fs.writeFileSync(`${path}.new`, small)
          fs.renameSync(`${path}.new`, path)
        },
      ],
      [
        'removed',
        path => {
          fs.unlinkSync(path)
        },
      ],
    ]
    for (const [name, step] of steps) {
      const file = openWave(folder.put(`changed ${name}.wav`, small))
      expect(file.changed()).toBe(false)
      step(file.path)
      expect([name, file.changed()]).toEqual([name, name !== 'nothing'])
      if (name === 'nothing') refuseChanged(file)
      else
        expect(
          faultOf(() => {
            refuseChanged(file)
          }).code,
        ).toBe('WAVE_CHANGED')
      file.close()
      expect([name, file.changed()]).toEqual([name, name !== 'nothing'])
    }
  })

  test('that becomes shorter ends in WAVE_CHANGED', () => {
    const file = openWave(folder.put('shrinks.wav', small))
    fs.truncateSync(file.path, 500)
    expect(
      faultOf(() => {
        file.read(0, [new Float64Array(1000)])
      }),
    ).toMatchObject({
      code: 'WAVE_CHANGED',
      message: 'the file became shorter while it was read',
    })
    file.close()
  })
})

test('a wrong call is a bug of ours, not silence', () => {
  const file = openWave(
    folder.put('call.wav', riff(plainFormat(1, 2, 48000, 16), chunk('data', concat([0, 0, 0, 0])))),
  )
  const two = [new Float64Array(4), new Float64Array(4)]
  for (const call of [
    () => {
      file.read(0.5, two)
    },
    () => {
      file.read(0, two.slice(1))
    },
    () => {
      file.read(0, [two[0]!, new Float64Array(3)])
    },
    () => {
      file.readChannels(0, [2], two.slice(1))
    },
    () => {
      file.readChannels(0, [-1], two.slice(1))
    },
  ]) {
    expect(faultOf(call).code).toBe('INTERNAL')
  }
  file.close()
  file.close()
})
