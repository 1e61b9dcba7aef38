import { type ChildProcess, fork } from 'node:child_process'
import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import type { Order, Outcome } from './runner.js'

/**
 * Runs orders in a test runner that is started again when one takes too long. Time is that of the processor, so that a busy machine
 * makes no difference; where the system does not tell it (/proc), the clock counts.
 */
export class Child {
  private process: ChildProcess | null = null
  constructor(private readonly root: string) {}

  /** @returns what came of it, or `late` after so many seconds */
  async run(order: Order, seconds: number): Promise<Outcome | 'late'> {
    const child = this.process ?? (await this.open())
    const group = child.pid ?? 0
    const before = secondsOf(group)
    return new Promise(resolve => {
      const done = (outcome: Outcome | 'late'): void => {
        clearInterval(watch)
        child.removeAllListeners()
        if (outcome === 'late') this.close()
        resolve(outcome)
      }
      const watch = setInterval(() => {
        if (secondsOf(group) - before > seconds) done('late')
      }, 500)
      child.once('message', (outcome: Outcome) => {
        done(outcome)
      })
      child.once('exit', () => {
        this.process = null
        done({ failed: true, by: 'the test runner ended', milliseconds: {} })
      })
      child.send(order)
    })
  }

  close(): void {
    const pid = this.process?.pid
    this.process = null
    if (pid !== undefined) process.kill(-pid, 'SIGKILL')
  }

  private async open(): Promise<ChildProcess> {
    const child = fork(join(import.meta.dirname, 'runner.ts'), {
      cwd: this.root,
      detached: true,
      execArgv: ['--import', 'tsx'],
      stdio: ['ignore', 'ignore', 'inherit', 'ipc'],
      // What a test leaves out for want of another program would let mutants live.
      env: { ...process.env, CI: 'true', NO_COLOR: '1' },
    })
    this.process = child
    await new Promise<void>((resolve, reject) => {
      child.once('message', () => {
        resolve()
      })
      child.once('exit', code => {
        reject(new Error(`the test runner does not start (${code})`))
      })
    })
    child.removeAllListeners()
    return child
  }
}

const TICKS_PER_SECOND = 100
const opened = process.hrtime.bigint()

/** Processor seconds of a group of processes so far, children that have ended included. */
const secondsOf = (group: number): number => {
  try {
    let ticks = 0
    for (const pid of readdirSync('/proc').filter(name => /^\d+$/.test(name))) ticks += ticksOf(pid, group)
    return ticks / TICKS_PER_SECOND
  } catch {
    return Number(process.hrtime.bigint() - opened) / 1e9
  }
}

/** proc(5): fields 5 (group) and 14 to 17 (times in user and system mode, own and of ended children). */
const ticksOf = (pid: string, group: number): number => {
  try {
    const stat = readFileSync(`/proc/${pid}/stat`, 'utf8')
    const fields = stat.slice(stat.lastIndexOf(')') + 2).split(' ')
    if (Number(fields[2]) !== group) return 0
    return fields.slice(11, 15).reduce((sum, field) => sum + Number(field), 0)
  } catch {
    return 0
  }
}
