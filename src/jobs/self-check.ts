import fs from 'node:fs'
import os from 'node:os'
import path from 'node:path'
import { RealFft } from '../signal/fft.js'
import { kernels } from '../signal/kernel/kernels.js'
import { fault, SumwellError } from '../terms/fault.js'
import { isFolder } from '../terms/plain-file.js'
import * as portable from '../terms/portable.js'
import { openAtomic } from '../wave/atomic-file.js'
import { freeBytes } from '../wave/free-bytes.js'

/** What `selfcheck --json` says of a machine and a folder (schemas/selfcheck.schema.json). Sizes in bytes. */
export interface SelfCheck {
  readonly machine: {
    readonly node: string
    readonly system: string
    readonly cores: number
    readonly memoryBytes: number
    readonly freeMemoryBytes: number
    /** Whether WebAssembly with SIMD is used; without it the same bits come several times slower. */
    readonly simd: boolean
    /** Largest error of a transform of 4096 points against its definition, relative to the largest bin. */
    readonly transformError: number
  }
  readonly folder: {
    /** Absolute. */
    readonly path: string
    /** A file could be written, flushed, replaced by another under the same name, read back and removed. */
    readonly writable: boolean
    /** null where the disk does not tell. */
    readonly freeBytes: number | null
    /** Whether `A.wav` and `a.wav` are two files there; null where it cannot be written to. */
    readonly caseMatters: boolean | null
  }
}

/** Double precision over 12 stages: 1e-15 was seen; a wrong kernel is off by many orders more. */
export const MOST_TRANSFORM_ERROR = 1e-12

/**
 * Looks at this machine, and at a folder by writing to it and taking everything away again.
 * @returns what was found, and what stands in the way (WRITE_…, INTERNAL); no fault where the machine is fit
 */
export const selfCheck = (folder: string) => {
  const folderPath = path.resolve(folder)
  const transformError = worstTransformError()
  const wrong =
    transformError <= MOST_TRANSFORM_ERROR
      ? []
      : [
          fault('INTERNAL', `the transform is off by ${transformError}: this machine computes wrongly`, {
            mend: 'set SUMWELL_PLAIN=1 and run selfcheck again; please report it where you got Sumwell from',
          }),
        ]
  const written = tryWriting(folderPath)
  const check: SelfCheck = {
    machine: {
      node: process.versions.node,
      system: `${os.platform()} ${os.arch()}`,
      cores: os.availableParallelism(),
      memoryBytes: os.totalmem(),
      freeMemoryBytes: os.freemem(),
      simd: kernels() !== null,
      transformError,
    },
    folder: {
      path: folderPath,
      writable: written.faults.length === 0,
      freeBytes: freeBytes(folderPath),
      caseMatters: written.caseMatters,
    },
  }
  return { check, faults: [...wrong, ...written.faults] }
}

const POINTS = 4096
const BINS = [1, 2, 3, 64, 1000, 2047] as const

/** A transform of two tones and a step against the sum that defines it, at a few bins. */
const worstTransformError = (): number => {
  const signal = Float64Array.from(
    { length: POINTS },
    (_, n) =>
      portable.sin((2 * Math.PI * 3 * n) / POINTS) +
      portable.cos((2 * Math.PI * 1000.5 * n) / POINTS) +
      (n < 100 ? 1 : 0),
  )
  const spectrum = new Float64Array(POINTS + 2)
  new RealFft(POINTS).forward(signal.slice(), spectrum)
  let worst = 0
  for (const bin of BINS) {
    let re = 0
    let im = 0
    for (let n = 0; n < POINTS; n++) {
      const turn = (2 * Math.PI * ((bin * n) % POINTS)) / POINTS
      re += signal[n]! * portable.cos(turn)
      im -= signal[n]! * portable.sin(turn)
    }
    worst = Math.max(
      worst,
      portable.hypot(spectrum[2 * bin]! - re, spectrum[2 * bin + 1]! - im) / (POINTS / 2),
    )
  }
  return worst
}

const TRIAL = Buffer.from(
  'Sumwell was here for a moment: selfcheck writes, replaces, reads and removes this file.\n',
)

const tryWriting = (folder: string) => {
  if (!isFolder(folder)) {
    const mend = 'name a folder that is there'
    return {
      faults: [fault('WRITE_FAILED', 'there is no folder of that name', { file: folder, mend })],
      caseMatters: null,
    }
  }
  const name = `.sumwell-selfcheck-${process.pid}`
  const target = path.join(folder, name)
  try {
    for (const text of [TRIAL.subarray(1), TRIAL]) {
      const file = openAtomic(target)
      file.write(text)
      file.commit()
    }
    if (!fs.readFileSync(target).equals(TRIAL)) {
      const mend = 'check the disk before anything is delivered to it'
      throw new SumwellError(
        fault('WRITE_FAILED', 'what was written is not what is read', { file: folder, mend }),
      )
    }
    const caseMatters = !fs.existsSync(path.join(folder, name.toUpperCase()))
    return { faults: [], caseMatters }
  } catch (error) {
    if (error instanceof SumwellError) return { faults: error.faults, caseMatters: null }
    throw error
  } finally {
    fs.rmSync(target, { force: true })
  }
}
