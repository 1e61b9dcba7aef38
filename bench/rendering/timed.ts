import { spawnSync } from 'node:child_process'

/** What one command took. */
export interface Timed {
  readonly seconds: number
  /** Of all processors together, user and system. */
  readonly processorSeconds: number
  /** Largest resident memory of any one of its processes. */
  readonly peakMegabytes: number
}

/** Runs a command to its end, process start included. @throws Error where it fails */
export const timed = (command: string, args: readonly string[]): Timed => {
  const done = spawnSync('/usr/bin/time', ['-f', 'TIMED %e %U %S %M', command, ...args], { encoding: 'utf8' })
  const line = /TIMED ([\d.]+) ([\d.]+) ([\d.]+) (\d+)/.exec(done.stderr)
  if (done.status !== 0 || line === null) throw new Error(`${command} failed:\n${done.stderr}`)
  const [seconds, user, system, kilobytes] = line.slice(1).map(Number) as [number, number, number, number]
  return { seconds, processorSeconds: user + system, peakMegabytes: kilobytes / 1024 }
}

export const medianOf = (values: readonly number[]): number =>
  [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)]!
