import { fault, SumwellError } from '../../src/terms/fault.js'
import { interrupted } from '../../src/terms/interrupted.js'
import type { TaskContext } from '../../src/terms/task.js'

const spin = (ms: number) => {
  Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, ms)
}

/** Small tasks that behave in each of the ways in which a real one may. */
export const testTasks = {
  double: (input: number) => 2 * input,
  /** Later inputs are done sooner. */
  doubleLate: ({ value, ms }: { value: number; ms: number }) => {
    spin(ms)
    return 2 * value
  },
  ramp: (input: { frames: number; part: boolean }) => {
    const whole = Float64Array.from({ length: input.frames }, (_, i) => i)
    return { channels: [input.part ? whole.subarray(1, 3) : whole], twice: whole }
  },
  /** Runs until it is told to stop; then says so by throwing, as a task does. */
  untilAborted: (file: string, context: TaskContext) => {
    for (let turn = 0; turn < 2000; turn += 1) {
      if (context.aborted) throw interrupted()
      context.advance(0.5)
      spin(5)
    }
    return file
  },
  advanceOften: (times: number, context: TaskContext) => {
    for (let turn = 0; turn < times; turn += 1) context.advance(0.25)
    return times
  },
  fail: (file: string) => {
    throw new SumwellError([
      fault('WAVE_NOT_WAVE', 'it is not a WAVE file', { file, mend: 'export it as WAVE' }),
      fault('WAVE_HEADER', 'no data', { file }),
    ])
  },
  bug: (input: number): number => {
    throw new TypeError(`cannot read ${input}`)
  },
  unsendable: (input: number) => ({ callback: () => input }),
  die: (code: number): number => process.exit(code),
  dieLater: async (input: number): Promise<number> => {
    setImmediate(() => {
      throw new RangeError(`${input}, thrown where nobody catches it`)
    })
    return new Promise<number>(() => undefined)
  },
}
