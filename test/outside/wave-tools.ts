import { execFileSync, spawnSync } from 'node:child_process'
import { test } from 'vitest'
import { concat } from '../wave/wave-bytes.js'

/** General audio tools as second readers and writers. In CI they must be there; elsewhere what is missing is said and left out. */

const answers = (command: string, ...args: string[]): boolean => spawnSync(command, args).error === undefined

const python = ['python3', '/usr/bin/python3'].find(
  name => spawnSync(name, ['-c', 'import scipy']).status === 0,
)

type Tool = 'sox' | 'ffmpeg' | 'libsndfile' | 'scipy' | 'pyyaml'

const present: Readonly<Record<Tool, boolean>> = {
  sox: answers('sox', '--version'),
  ffmpeg: answers('ffmpeg', '-version') && answers('ffprobe', '-version'),
  libsndfile: answers('sndfile-convert') && answers('sndfile-info') && answers('sndfile-metadata-get'),
  scipy: python !== undefined,
  pyyaml: python !== undefined && spawnSync(python, ['-c', 'import yaml']).status === 0,
}

/** Defines a test that needs a tool: a failure in CI where the tool is missing, else left out with a word. */
export const testWith = (tool: Tool, name: string, check: () => void | Promise<void>): void => {
  if (present[tool]) {
    test(`${tool}: ${name}`, check)
  } else if (process.env['CI'] === undefined) {
    console.warn(`NOT CHECKED, ${tool} is not on this machine: ${name}`)
    test.skip(`${tool}: ${name}`, check)
  } else {
    test(`${tool}: ${name}`, () => {
      throw new Error(`${tool} is missing; CI has to install it`)
    })
  }
}

/** Runs a tool and returns what it wrote to its output; throws where it fails. */
export const run = (command: string, args: readonly string[], input?: Uint8Array): Buffer =>
  execFileSync(command, args, { input, maxBuffer: 1 << 28, stdio: ['pipe', 'pipe', 'pipe'] })

/** Runs a tool that talks on both outputs, and returns all it said. */
export const talk = (command: string, args: readonly string[]): string => {
  const { stdout, stderr } = spawnSync(command, args, { encoding: 'utf8' })
  return stdout + stderr
}

export const runPython = (script: string, args: readonly string[], input?: string): Buffer =>
  run(python!, ['-W', 'error', '-c', script, ...args], input === undefined ? undefined : Buffer.from(input))

/** The same for a script that reads others beside it. */
export const runPythonFile = (file: string, args: readonly string[]): Buffer =>
  run(python!, ['-W', 'error', '-B', file, ...args])

/** Noise on the grid of `bits` bits, as 32-bit integers with the bits at the top; both ends of the range are in it. */
export const noise = (count: number, bits: number): Int32Array => {
  let state = bits
  const values = Int32Array.from({ length: count }, () => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) | 0
    return state & (-1 << (32 - bits))
  })
  values[5] = -0x80000000
  values[6] = 0x7fffffff & (-1 << (32 - bits))
  return values
}

/** An AU file of 32-bit integers: the plainest thing that libsndfile reads without loss (from memory: big-endian, coding 5). */
export const auOfInts = (values: Int32Array, channels: number, rate: number): Uint8Array => {
  const bytes = new Uint8Array(24 + 4 * values.length)
  const view = new DataView(bytes.buffer)
  const header = [0x2e736e64, 24, 4 * values.length, 5, rate, channels]
  header.forEach((value, index) => {
    view.setUint32(4 * index, value)
  })
  values.forEach((value, index) => {
    view.setInt32(24 + 4 * index, value)
  })
  return bytes
}

/** The samples of an AU file of 32-bit integers (coding 5) or doubles (coding 7), interleaved, integers as 2^-31. */
export const valuesOfAu = (bytes: Uint8Array): number[] => {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)
  const doubles = view.getUint32(12) === 7
  const width = doubles ? 8 : 4
  const start = view.getUint32(4)
  return Array.from({ length: (bytes.length - start) / width }, (_, index) => {
    const at = start + width * index
    return doubles ? view.getFloat64(at) : view.getInt32(at) / 2 ** 31
  })
}

/** Little-endian doubles, and 32-bit integers, as numbers of full scale ±1. */
export const valuesOfDoubles = (bytes: Uint8Array): number[] =>
  Array.from(new Float64Array(concat(bytes).buffer))
export const valuesOfInts = (bytes: Uint8Array): number[] =>
  Array.from(new Int32Array(concat(bytes).buffer), value => value / 2 ** 31)
