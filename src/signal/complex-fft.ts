import * as portable from '../terms/portable.js'
import { addressOf, keepFloat64 } from './kernel/arena.js'
import { type Kernels, kernels } from './kernel/kernels.js'
import { last2Plain, last4Plain, pass4Plain, untanglePlain } from './plain/fft.js'

/**
 * Tables and work space of the transforms of one size, shared by all of that size in a thread. Complex points are interleaved.
 * Passes of radix 4 (Stockham, as in Van Loan, "Computational frameworks for the fast Fourier transform", 1992, §1.7), the last of 2
 * where the size asks for it.
 */
export interface FftTables {
  /** Points of the complex transform, half the real one's size. */
  readonly half: number
  /** For each pass [re, re, -im, im] of exp(-2 pi j p k / n), k = 1, 2, 3, p = 0 … n / 4 - 1. */
  readonly twiddles: Float64Array
  /** [c, c, s, -s] of 2 pi k / (2 half), k = 0 … half / 2. */
  readonly turns: Float64Array
  readonly x: Float64Array
  readonly y: Float64Array
  readonly output: Float64Array
  /** Null: the arrays lie outside of the kernel memory, and the twins do the work. */
  readonly run: Kernels | null
}

const known = new Map<number, FftTables>()

/** `half`: a power of two, at least 2. */
export const fftTables = (half: number): FftTables => {
  let tables = known.get(half)
  if (tables === undefined) {
    tables = makeTables(half)
    known.set(half, tables)
  }
  return tables
}

const makeTables = (half: number): FftTables => {
  const twiddles: number[] = []
  for (let n = half; n > 4; n /= 4) {
    for (let p = 0; p < n / 4; p++) {
      for (let k = 1; k <= 3; k++) {
        const re = portable.cos((2 * Math.PI * p * k) / n)
        const im = -portable.sin((2 * Math.PI * p * k) / n)
        twiddles.push(re, re, -im, im)
      }
    }
  }
  const turns: number[] = []
  for (let k = 0; k <= half / 2; k++) {
    const c = portable.cos((Math.PI * k) / half)
    const s = portable.sin((Math.PI * k) / half)
    turns.push(c, c, s, -s)
  }
  const lengths = [twiddles.length, turns.length, 2 * half, 2 * half, 2 * half + 2]
  const inKernel = lengths.map(length => keepFloat64(length))
  const run = inKernel.includes(null) ? null : (kernels()?.run ?? null)
  const place = (i: number): Float64Array =>
    (run === null ? null : inKernel[i]!) ?? new Float64Array(lengths[i]!)
  const tables = {
    half,
    twiddles: place(0),
    turns: place(1),
    x: place(2),
    y: place(3),
    output: place(4),
    run,
  }
  tables.twiddles.set(twiddles)
  tables.turns.set(turns)
  return tables
}

/** Transform of `half` points; `input` is left as it is unless it is `tables.x` or `.y`. Returns where the result lies: `.x` or `.y`. */
export const complexForward = (tables: FftTables, input: Float64Array): Float64Array => {
  const { half, twiddles, x, y, run } = tables
  let from = input
  if (run !== null && addressOf(input) < 0) {
    x.set(input)
    from = x
  }
  let to = from === y ? x : y
  let s = 1
  let at = 0
  let n = half
  for (; n > 4; n /= 4) {
    if (run === null) pass4Plain(from, to, n, s, twiddles, at)
    else if (s === 1) run.fftFirst4(from.byteOffset, to.byteOffset, n, twiddles.byteOffset)
    else run.fftPass4(from.byteOffset, to.byteOffset, n, s, twiddles.byteOffset + 8 * at)
    at += 3 * n
    s *= 4
    from = to
    to = from === y ? x : y
  }
  if (n === 4) {
    if (run === null) last4Plain(from, to, s)
    else run.fftLast4(from.byteOffset, to.byteOffset, s)
  } else if (run === null) last2Plain(from, to, s)
  else run.fftLast2(from.byteOffset, to.byteOffset, s)
  return to
}

/** Real transform of `2 * half` samples into `half + 1` bins. */
export const realForward = (tables: FftTables, input: Float64Array, spectrum: Float64Array): void => {
  const { half, turns, output, run } = tables
  const packed = complexForward(tables, input)
  const target = run !== null && addressOf(spectrum) < 0 ? output : spectrum
  target[0] = packed[0]! + packed[1]!
  target[1] = 0
  target[2 * half] = packed[0]! - packed[1]!
  target[2 * half + 1] = 0
  if (run === null) untanglePlain(packed, target, half, turns)
  else run.fftUntangle(packed.byteOffset, target.byteOffset, half, turns.byteOffset)
  if (target !== spectrum) spectrum.set(target)
}
