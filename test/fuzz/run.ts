/**
 * `npm run fuzz`: tries inputs made by chance on everything that reads what others wrote, for ten minutes. Each target runs in a process of its
 * own with little memory; one that takes long over an input, or ends, is a finding, and the next process goes on behind it.
 * FUZZ_SECONDS, FUZZ_SEED, FUZZ_TARGET (names, with commas), FUZZ_COUNT (inputs per target instead of a time), FUZZ_FINDINGS (a folder).
 */
import { fork } from 'node:child_process'
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { chanceOf } from './chance.js'
import { TARGETS } from './targets.js'

const environment = (name: string, usual: string): string => process.env[name] ?? usual
const seconds = Number(environment('FUZZ_SECONDS', '600'))
const seed = Number(environment('FUZZ_SEED', String(Date.now() % 1_000_000_007)))
const names = environment('FUZZ_TARGET', Object.keys(TARGETS).join(',')).split(',')
const count = Number(environment('FUZZ_COUNT', '0'))
const findings = environment('FUZZ_FINDINGS', 'fuzz-findings')

/** No input may take longer, in processor time or asleep; time in which the machine is busy with others does not count. */
const LONGEST_INPUT_MS = 20_000
const LOOK_EVERY_MS = 250
const HEAP_MB = 384

interface Told {
  readonly index: number
  readonly read?: number
  readonly refused?: number
  readonly finding?: string
}

interface Result {
  readonly tried: number
  readonly read: number
  readonly refused: number
  readonly findings: number
}

/** Processor time of a process in seconds, and whether it waits for the processor; null where the system does not tell. */
const busyOf = (pid: number | undefined): { readonly ms: number; readonly runnable: boolean } | null => {
  try {
    const text = readFileSync(`/proc/${pid ?? 0}/stat`, 'utf8')
    // Behind the name: the state, and as 12th and 13th field ticks of a hundredth of a second.
    const fields = text.slice(text.lastIndexOf(')') + 2).split(' ')
    return { ms: 10 * (Number(fields[11]) + Number(fields[12])), runnable: fields[0] === 'R' }
  } catch {
    return null
  }
}

const scratch = mkdtempSync(join(tmpdir(), 'sumwell-fuzz-run-'))

/** One process from a number on; where it ended and why. */
const stretch = (
  name: string,
  from: number,
  until: number,
  most: number,
): Promise<Result & { next: number; ended: boolean }> =>
  new Promise((resolve, reject) => {
    const markFile = join(scratch, name)
    writeFileSync(markFile, '')
    const child = fork(
      join(import.meta.dirname, 'child.ts'),
      [name, seed, from, most, markFile, findings].map(String),
      {
        execArgv: ['--import', 'tsx', `--max-old-space-size=${HEAP_MB}`],
        stdio: ['ignore', 'ignore', 'pipe', 'ipc'],
      },
    )
    let last: Told = { index: from }
    let found = 0
    let stderr = ''
    let inHand = -1
    let stuckMs = 0
    let usedMs = 0
    let hung = false
    child.stderr?.setEncoding('utf8').on('data', (text: string) => (stderr = `${stderr}${text}`.slice(-4000)))
    child.on('message', (told: Told) => {
      if (told.finding === undefined) last = told
      else {
        found++
        process.stdout.write(`  finding: ${name} ${told.index}: ${told.finding}\n`)
      }
    })
    const watch = setInterval(() => {
      const bytes = readFileSync(markFile)
      const now = bytes.length === 8 ? bytes.readDoubleLE(0) : -1
      const busy = busyOf(child.pid)
      const used = busy?.ms ?? 0
      if (now !== inHand) stuckMs = 0
      else stuckMs += busy?.runnable === true ? used - usedMs : LOOK_EVERY_MS
      inHand = now
      usedMs = used
      if (stuckMs > LONGEST_INPUT_MS && inHand >= 0) {
        hung = true
        child.kill('SIGKILL')
      }
      if (performance.now() > until && child.connected) child.send('stop')
    }, LOOK_EVERY_MS)
    child.on('error', reject)
    child.on('close', status => {
      clearInterval(watch)
      const tried = last.index - from
      const { read = 0, refused = 0 } = last
      if (status === 0) {
        resolve({ tried, read, refused, findings: found, next: last.index, ended: true })
        return
      }
      if (inHand < 0) {
        reject(new Error(`${name} did not start:\n${stderr}`))
        return
      }
      const why = hung
        ? `no end after ${LONGEST_INPUT_MS / 1000} s`
        : `the process ended with ${String(status)}\n${stderr}`
      void keep(name, inHand, why)
      process.stdout.write(`  finding: ${name} ${inHand}: ${why.split('\n')[0] ?? ''}\n`)
      resolve({
        tried: inHand + 1 - from,
        read,
        refused,
        findings: found + 1,
        next: inHand + 1,
        ended: false,
      })
    })
  })

const keep = async (name: string, index: number, why: string): Promise<void> => {
  const target = await TARGETS[name]!()
  mkdirSync(findings, { recursive: true })
  const place = join(findings, `${name}-${seed}-${index}`)
  writeFileSync(`${place}.${target.ending}`, target.make(chanceOf(seed, index)))
  writeFileSync(`${place}.why`, why)
  target.close()
}

const shares = await Promise.all(
  names.map(async name => {
    const make = TARGETS[name]
    if (make === undefined) throw new Error(`no target ${name}; there are ${Object.keys(TARGETS).join(', ')}`)
    const target = await make()
    target.close()
    return target.share
  }),
)
const all = shares.reduce((sum, share) => sum + share, 0)
process.stdout.write(
  `seed ${seed}, ${count > 0 ? `${count} inputs for each of ${names.length} targets` : `${seconds} s`}; the same again: FUZZ_SEED=${seed}\n`,
)

let total = 0
for (const [i, name] of names.entries()) {
  const began = performance.now()
  const until = count > 0 ? Infinity : began + (1000 * seconds * shares[i]!) / all
  let done: Result = { tried: 0, read: 0, refused: 0, findings: 0 }
  for (let next = 0, ended = false; !ended && performance.now() < until && (count === 0 || next < count); ) {
    const part = await stretch(name, next, until, count === 0 ? 0 : count - next)
    done = {
      tried: done.tried + part.tried,
      read: done.read + part.read,
      refused: done.refused + part.refused,
      findings: done.findings + part.findings,
    }
    next = part.next
    ended = part.ended
  }
  total += done.findings
  const took = (performance.now() - began) / 1000
  process.stdout.write(
    `${name.padEnd(8)} ${String(done.tried).padStart(8)} inputs: ${done.read} read, ${done.refused} refused, ${done.findings} findings; ${took.toFixed(0)} s\n`,
  )
}
rmSync(scratch, { recursive: true })
if (total > 0) {
  process.stdout.write(`${total} findings are kept in ${findings}: the input, and why beside it\n`)
  process.exitCode = 1
}
