import { afterEach, expect, test, vi } from 'vitest'
import { seededRandom } from '../../src/signal/random.js'

afterEach(() => {
  vi.unstubAllEnvs()
})

/** The room's modules twice: with kernels and with their twins alone. */
const both = async <Module>(load: () => Promise<Module>): Promise<{ kernel: Module; plain: Module }> => {
  vi.resetModules()
  vi.stubEnv('SUMWELL_PLAIN', '')
  const kernel = await load()
  expect((await import('../../src/signal/kernel/kernels.js')).kernels()).not.toBeNull()
  vi.resetModules()
  vi.stubEnv('SUMWELL_PLAIN', '1')
  const plain = await load()
  expect((await import('../../src/signal/kernel/kernels.js')).kernels()).toBeNull()
  return { kernel, plain }
}

const noise = (length: number, seed: string): Float64Array => {
  const random = seededRandom(seed)
  return Float64Array.from({ length }, () => 2 * random() - 1)
}

/** Bits, so that 0 and -0 differ. */
const bitsOf = (values: Float64Array): BigInt64Array => new BigInt64Array(values.slice().buffer)

test('filters: kernel and twin agree bit for bit, for any length and start', async () => {
  const { kernel, plain } = await both(() => import('../../src/signal/fir.js'))
  let compared = 0
  for (const [tapCount, count, start] of [
    [4, 1, 0],
    [64, 15, 3],
    [64, 16, 0],
    [96, 1000, 7],
    [32, 20011, 5],
  ] as const) {
    const taps = noise(tapCount, `taps ${tapCount}`)
    const input = noise(start + count + tapCount, `input ${count}`)
    const one = new Float64Array(count)
    const other = new Float64Array(count)
    kernel.filterFrames(taps, input, start, one, count)
    plain.filterFrames(taps, input, start, other, count)
    expect(bitsOf(one)).toEqual(bitsOf(other))
    compared += count
  }
  expect(compared).toBe(1 + 15 + 16 + 1000 + 20011)
})

test('transforms: kernel and twin agree bit for bit, both ways', async () => {
  const { kernel, plain } = await both(() => import('../../src/signal/fft.js'))
  let compared = 0
  for (let size = 4; size <= 16384; size *= 2) {
    const samples = noise(size, `samples ${size}`)
    const [one, other] = [kernel, plain].map(({ RealFft }) => {
      const fft = new RealFft(size)
      const spectrum = new Float64Array(size + 2)
      const back = new Float64Array(size)
      fft.forward(samples, spectrum)
      fft.inverse(spectrum, back)
      return { spectrum: bitsOf(spectrum), back: bitsOf(back) }
    })
    expect(one!.spectrum).toEqual(other!.spectrum)
    expect(one!.back).toEqual(other!.back)
    compared += size
  }
  expect(compared).toBe(32764)
})

test('arrays of a task lie in the kernel memory, and are free again afterwards', async () => {
  const { kernel, plain } = await both(() => import('../../src/signal/kernel/arena.js'))
  const addresses: number[] = []
  for (let turn = 0; turn < 2; turn++) {
    kernel.inArena(() => {
      const array = kernel.float64(1000)
      expect(array.every(value => value === 0)).toBe(true)
      addresses.push(array.byteOffset)
      array.fill(1)
      expect(kernel.addressOf(array)).toBeGreaterThanOrEqual(0)
    })
  }
  expect(addresses[0]).toBe(addresses[1])
  expect(kernel.addressOf(kernel.float64(4))).toBe(-1)
  expect(plain.inArena(() => plain.addressOf(plain.float64(4)))).toBe(-1)
})

test('words of 24 bit: kernel and twin agree, what cannot be stored is found', async () => {
  vi.resetModules()
  vi.stubEnv('SUMWELL_PLAIN', '')
  const { inArena, float64 } = await import('../../src/signal/kernel/arena.js')
  const { decoders } = await import('../../src/wave/decode-samples.js')
  const { encoders } = await import('../../src/wave/encode-samples.js')
  const { newSampleBuffer } = await import('../../src/wave/sample-buffer.js')
  const values = noise(1003, 'words').map(value => Math.floor(value * 2 ** 23) * 2 ** -23)
  values.set([-1, 1 - 2 ** -23, 0, -(2 ** -23)], 500)
  const there = (place: (length: number) => Float64Array) => {
    const samples = place(1003)
    samples.set(values)
    const buffer = newSampleBuffer(3 * 1003)
    const found = encoders['24'](samples, 1, 1002, buffer, 0, 1)
    const bytes = buffer.u8.slice(0, 3 * 1002)
    const back = place(1002)
    decoders.s24(buffer, 0, 1, back, 0, 1002)
    const faults = [1, -1.01, Number.NaN, 2 ** -24, Number.POSITIVE_INFINITY].map(wrong => {
      samples[77] = wrong
      return encoders['24'](samples, 1, 1002, buffer, 0, 1)
    })
    return { bytes, back: Float64Array.from(back), found, faults }
  }
  const fast = inArena(() => there(float64))
  expect(fast.back).toEqual(values.subarray(1))
  expect(fast.found).toBe(-1)
  expect(fast.faults).toEqual([76, 76, 76, 76, 76])
  expect(fast).toEqual(there(length => new Float64Array(length)))
})

test('true peak and decimation: kernel and twin agree bit for bit', async () => {
  const peaks = await both(() => import('../../src/signal/true-peak.js'))
  const rates = await both(() => import('../../src/signal/decimate.js'))
  vi.resetModules()
  vi.stubEnv('SUMWELL_PLAIN', '')
  const { TruePeakMeter } = await import('../../src/signal/true-peak.js')
  const { Decimator } = await import('../../src/signal/decimate.js')
  const { inArena } = await import('../../src/signal/kernel/arena.js')
  const sound = noise(30_011, 'sound').map((value, i) => value * (i / 30_011))
  const run = (part: {
    TruePeakMeter: typeof TruePeakMeter
    Decimator: typeof Decimator
  }): BigInt64Array[] => {
    const meters = [4, 8].map(factor => new part.TruePeakMeter(48000, 1, factor))
    for (const meter of meters) meter.push([sound])
    const output = new Float64Array(2000)
    new part.Decimator(16).push(sound, output)
    return [bitsOf(Float64Array.from(meters, meter => meter.peak())), bitsOf(output)]
  }
  const fast = inArena(() => run({ TruePeakMeter, Decimator }))
  expect(fast).toEqual(run({ ...peaks.plain, ...rates.plain }))
  expect(fast[1]!.filter(bits => bits !== 0n).length).toBeGreaterThan(1800)
})

test('dither: kernel and twin agree bit for bit, clamped values too', async () => {
  const { plain } = await both(() => import('../../src/signal/dither.js'))
  vi.resetModules()
  vi.stubEnv('SUMWELL_PLAIN', '')
  const { TpdfQuantiser } = await import('../../src/signal/dither.js')
  const { addressOf, float64, inArena } = await import('../../src/signal/kernel/arena.js')
  const sound = noise(5001, 'dithered').map(value => 1.2 * value)
  const rounded = (
    quantiser: { quantise(block: Float64Array[]): void },
    samples: Float64Array,
  ): BigInt64Array => {
    samples.set(sound)
    quantiser.quantise([samples])
    quantiser.quantise([samples.subarray(1000)])
    return bitsOf(Float64Array.from(samples))
  }
  for (const bits of [8, 16, 24]) {
    const fast = inArena(() => {
      const samples = float64(5001)
      expect(addressOf(samples)).toBeGreaterThanOrEqual(0)
      return rounded(new TpdfQuantiser(bits, 1, 'seed'), samples)
    })
    expect(fast).toEqual(rounded(new plain.TpdfQuantiser(bits, 1, 'seed'), new Float64Array(5001)))
  }
})

test('transforms and sums in single precision: kernel and twin agree bit for bit, at any length and edge', async () => {
  const { kernel, plain } = await both(async () => ({
    ...(await import('../../src/signal/single-fft.js')),
    ...(await import('../../src/signal/single-sums.js')),
    ...(await import('../../src/signal/kernel/arena.js')),
  }))
  let compared = 0
  for (const [size, length] of [
    [32, 32],
    [64, 61],
    [1024, 1022],
    [8192, 8190],
    [16384, 16384],
  ] as const) {
    const [one, other] = [kernel, plain].map(room =>
      room.inArena(() => {
        const { SingleFft, windowInto, meanOff, powerInto, crossInto, float32, float64 } = room
        const fft = new SingleFft(size)
        const window = float64(length)
        window.set(noise(length, 'window'))
        const flat = float32(fft.frame.length)
        windowInto(window, window, 0, fft.frame)
        flat.set(fft.frame)
        const samples = float64(length + 3)
        const frames = [0, 1].map(() => float32(8 * fft.apart))
        const found: number[] = []
        frames.forEach((spectra, signal) => {
          for (let slot = 0; slot < 4; slot++) {
            samples.set(noise(length + 3, `samples ${signal} ${slot}`))
            const { energy, sum } = windowInto(window, samples, signal, fft.frame)
            meanOff(fft.frame, flat, sum / length)
            found.push(energy, sum)
            fft.forward(spectra.subarray(2 * slot * fft.apart, 2 * (slot + 1) * fft.apart))
          }
        })
        const power = float64(fft.bins)
        const latest = frames[0]!.subarray(0, 2 * fft.apart)
        found.push(powerInto(latest, power, 0.3), powerInto(latest, power, 1, 3, fft.bins - 2))
        const cross = float64(2 * fft.apart)
        crossInto(frames[0]!, frames[1]!, cross)
        crossInto(frames[1]!, frames[0]!, cross, 4, 12)
        const total = float64(33)
        total.set(noise(33, 'total'))
        const part = float64(33)
        part.set(noise(33, 'part'))
        room.moveInto(total, part)
        found.push(...total, ...part)
        return {
          found,
          spectra: frames.map(spectra => spectra.slice()),
          power: power.slice(),
          cross: cross.slice(),
        }
      }),
    )
    expect(one!.found).toEqual(other!.found)
    expect(one!.spectra).toEqual(other!.spectra)
    expect(bitsOf(one!.power)).toEqual(bitsOf(other!.power))
    expect(bitsOf(one!.cross)).toEqual(bitsOf(other!.cross))
    compared += one!.spectra.length * one!.spectra[0]!.length
  }
  expect(compared).toBe(2 * 4 * 2 * (20 + 36 + 516 + 4100 + 8196))
})

test('levels, loudness and what is looked for among samples: kernel and twin agree bit for bit, wherever they begin', async () => {
  const { kernel, plain } = await both(async () => ({
    ...(await import('../../src/signal/level.js')),
    ...(await import('../../src/signal/fast-loudness.js')),
    ...(await import('../../src/signal/find-samples.js')),
    ...(await import('../../src/signal/kernel/arena.js')),
  }))
  const sound = noise(40_003, 'levels')
  sound.set(sound.subarray(100, 101), 101)
  sound[30_007] = 0
  const stretches = [
    [0, 1],
    [1, 2],
    [2, 2],
    [2, 105],
    [105, 7000],
    [7000, 40_003],
    [0, 3],
    [3, 7],
    [7, 12],
  ] as const
  const [one, other] = [kernel, plain].map(room =>
    room.inArena(() => {
      const samples = room.float64(sound.length)
      samples.set(sound)
      const level = new room.LevelMeter(1)
      const loudness = room.fastLoudness(48000, 1)
      const found: number[] = []
      for (const [start, end] of stretches) {
        const { sum, squares } = level.add(0, samples, start, end)
        loudness.push([samples.subarray(start, end)])
        found.push(sum, squares, level.highest(0), level.lowest(0), level.dc(0), level.rms(0))
        found.push(room.largestIn(samples, start, end), room.firstZero(samples, start, end))
        found.push(start === 0 ? 0 : room.firstEqual(samples, start, end))
      }
      found.push(loudness.integratedLufs()!, loudness.momentaryLufs()!)
      return bitsOf(Float64Array.from(found))
    }),
  )
  expect(one).toEqual(other)
  expect(one!.length).toBe(9 * stretches.length + 2)
  const found = new Float64Array(other!.buffer)
  expect([found[9 * 3 + 8], found[9 * 4 + 8], found[9 * 5 + 7]]).toEqual([101, 7000, 30_007])
})

test('decimation by large factors: kernel and twin agree bit for bit, for odd and even numbers of outputs', async () => {
  const { kernel, plain } = await both(async () => ({
    ...(await import('../../src/signal/decimate.js')),
    ...(await import('../../src/signal/kernel/arena.js')),
  }))
  const sound = noise(9000, 'strided')
  let compared = 0
  for (const factor of [8, 16, 37]) {
    const [one, other] = [kernel, plain].map(room =>
      room.inArena(() => {
        const decimator = new room.Decimator(factor, { bandFraction: 0.5 })
        const output = room.float64(2000)
        let done = 0
        for (const [start, end] of [
          [0, 3001],
          [3001, 3000 + 5 * factor],
          [3000 + 5 * factor, 9000],
        ] as const) {
          done += decimator.push(sound.subarray(start, end), output.subarray(done))
        }
        return bitsOf(Float64Array.from(output.subarray(0, done)))
      }),
    )
    expect(one).toEqual(other)
    compared += one!.length
  }
  expect(compared).toBeGreaterThan(1500)
})

test('cosines and sines of many angles: kernel, twin and one at a time agree bit for bit', async () => {
  const { kernel, plain } = await both(() => import('../../src/signal/turns.js'))
  const portable = await import('../../src/terms/portable.js')
  const angles = noise(3001, 'angles').map((value, i) => value * (i < 1000 ? 10 : i < 2500 ? 1e6 : 1e-3))
  for (let i = 0; i < 64; i++) angles[i] = ((i - 32) * Math.PI) / 4
  angles.set([0, -0, 2 ** 26 - 1], 100)
  const found = [kernel, plain].map(({ turns }) => {
    const one = { cosines: new Float64Array(3001), sines: new Float64Array(3001) }
    turns(angles, one.cosines, one.sines)
    return one
  })
  for (const { cosines, sines } of found) {
    expect(bitsOf(cosines)).toEqual(bitsOf(angles.map(portable.cos)))
    expect(bitsOf(sines)).toEqual(bitsOf(angles.map(portable.sin)))
  }
  // What the kernel cannot do is done one at a time.
  angles.set([2 ** 26, -(2 ** 40), Number.NaN, Number.POSITIVE_INFINITY], 1500)
  const sines = new Float64Array(3001)
  kernel.turns(angles, new Float64Array(3001), sines)
  expect(bitsOf(sines)).toEqual(bitsOf(angles.map(portable.sin)))
})

test('third octaves and mixing: kernel and twin agree bit for bit', async () => {
  const { kernel, plain } = await both(async () => ({
    ...(await import('../../src/signal/third-octave.js')),
    ...(await import('../../src/signal/mix.js')),
    ...(await import('../../src/signal/kernel/arena.js')),
  }))
  const sound = noise(20_001, 'bands')
  const [one, other] = [kernel, plain].map(room =>
    room.inArena(() => {
      const samples = room.float64(sound.length)
      samples.set(sound)
      const meter = new room.ThirdOctaveMeter(48000)
      meter.push(samples)
      meter.push(samples.subarray(7, 999))
      const total = room.float64(sound.length)
      room.addScaled(total, samples, 0.3)
      room.scale(samples, -0.7)
      room.addScaled(total.subarray(1, 10_001), samples, 1 / 3)
      return [meter.meanSquares(), total, samples].map(numbers => bitsOf(Float64Array.from(numbers)))
    }),
  )
  expect(one).toEqual(other)
  expect(one!.map(({ length }) => length)).toEqual([30, 20_001, 20_001])
})

test('a delay that changes: kernel and twin agree bit for bit, over knots and for any number of frames', async () => {
  const { kernel, plain } = await both(async () => ({
    ...(await import('../../src/signal/variable-delay.js')),
    ...(await import('../../src/signal/kernel/arena.js')),
  }))
  const sound = noise(6000, 'drift')
  let compared = 0
  for (const [first, count] of [
    [100, 1],
    [0, 2047],
    [990, 3000],
  ] as const) {
    const [one, other] = [kernel, plain].map(room =>
      room.inArena(() => {
        const input = room.float64(sound.length)
        input.set(sound)
        const delay = new room.VariableDelay(48000, [
          { frame: 500, shift: -40.3 },
          { frame: 1500, shift: -30 },
          { frame: 1e6, shift: 800 },
        ])
        const output = room.float64(count)
        delay.apply(first, input, -60, output)
        return bitsOf(Float64Array.from(output))
      }),
    )
    expect(one).toEqual(other)
    compared += one!.length
  }
  expect(compared).toBe(5048)
})
