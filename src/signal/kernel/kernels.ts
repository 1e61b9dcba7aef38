import { KERNEL_BYTES } from '../generated/kernel-bytes.js'

/** The functions of src/signal/kernel/*.wat; pointers are bytes from the start of the kernel memory. */
export interface Kernels {
  fir(taps: number, tapCount: number, input: number, output: number, count: number): void
  fftFirst4(x: number, y: number, n: number, twiddles: number): void
  fftPass4(x: number, y: number, n: number, s: number, twiddles: number): void
  fftLast4(x: number, y: number, s: number): void
  fftLast2(x: number, y: number, s: number): void
  strided(taps: number, tapCount: number, input: number, step: number, output: number, count: number): void
  scale(samples: number, count: number, gain: number): void
  addScaled(total: number, samples: number, count: number, gain: number): void
  addFrames(output: number, scratch: number, count: number): void
  truePeak(
    work: number,
    count: number,
    taps: number,
    tapCount: number,
    points: number,
    group: number,
    between: number,
    bound: number,
    near: number,
    bent: number,
    peak: number,
  ): number
  variable(
    table: number,
    rowBytes: number,
    input: number,
    places: number,
    output: number,
    count: number,
  ): void
  turns(angles: number, cosines: number, sines: number, count: number): number
  bandPair(samples: number, count: number, sections: number, memory: number): void
  largest(samples: number, count: number): number
  kWeigh(samples: number, count: number, sections: number, memory: number): void
  levels(samples: number, count: number, sums: number): void
  firstEqual(samples: number, count: number): number
  firstZero(samples: number, count: number): number
  decode24(bytes: number, into: number, count: number): void
  encode24(samples: number, bytes: number, count: number): number
  dither(samples: number, count: number, state: number, full: number): void
  moveInto(total: number, part: number, count: number): void
  singleFirst4(x: number, y: number, n: number, apart: number, twiddles: number): void
  singlePass4(x: number, y: number, n: number, s: number, apart: number, twiddles: number): void
  singleLast2(x: number, y: number, half: number): void
  singleUntangle(
    packed: number,
    apart: number,
    spectrum: number,
    binsApart: number,
    half: number,
    turns: number,
  ): void
  singleWindow(
    window: number,
    samples: number,
    into: number,
    apart: number,
    count: number,
    results: number,
  ): void
  singleMeanOff(frame: number, window: number, count: number, mean: number): void
  singlePower(x: number, apart: number, count: number, weight: number, sums: number): number
  singleCross4(
    x: number,
    y: number,
    frame: number,
    apart: number,
    count: number,
    sums: number,
    sumsApart: number,
  ): void
  fftUntangle(packed: number, spectrum: number, half: number, turns: number): void
}

// Address space only: what is not touched takes no memory. It never grows, so that views of it stay valid.
const PAGES = 4096
const PAGE_BYTES = 65536
export const KERNEL_MEMORY_BYTES = PAGES * PAGE_BYTES

export interface LoadedKernels {
  readonly run: Kernels
  readonly buffer: ArrayBuffer
}

let loaded: LoadedKernels | null | undefined

/**
 * The kernels of this thread; null where the machine has no WebAssembly SIMD or the environment variable SUMWELL_PLAIN is set. Then
 * their twins in TypeScript do the same work, several times slower, with the same bits.
 */
export const kernels = (): LoadedKernels | null => {
  if (loaded === undefined) loaded = load()
  return loaded
}

// The part of the standard interface that is used here; the types of Node 20 do not name it.
interface WebAssemblyPart {
  readonly Memory: new (limits: { initial: number; maximum: number }) => { readonly buffer: ArrayBuffer }
  readonly Module: new (bytes: Uint8Array) => object
  readonly Instance: new (module: object, imports: object) => { readonly exports: unknown }
}

const load = (): LoadedKernels | null => {
  if ((process.env['SUMWELL_PLAIN'] ?? '') !== '') return null
  try {
    const { WebAssembly } = globalThis as unknown as { readonly WebAssembly: WebAssemblyPart }
    const memory = new WebAssembly.Memory({ initial: PAGES, maximum: PAGES })
    const module = new WebAssembly.Module(Buffer.from(KERNEL_BYTES, 'base64'))
    const { exports } = new WebAssembly.Instance(module, { kernel: { memory } })
    return { run: exports as Kernels, buffer: memory.buffer }
  } catch {
    return null // no SIMD, or no room for the memory: the twins serve
  }
}
